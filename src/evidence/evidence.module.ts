import { Module } from '@nestjs/common';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { EvidenceService } from './evidence.service.js';
import { InspectionPhotosController } from './http/inspection-photos.controller.js';
import { PhotosController } from './http/photos.controller.js';
import { ReaderPool } from './imaging/reader-pool.js';
import { ReadPhotoJob } from './jobs/read-photo.job.js';
import { PhotoIntakeService } from './photo-intake.service.js';
import { PhotoReaderService } from './photo-reader.service.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';

@Module({
  imports: [InspectionsModule],
  controllers: [InspectionPhotosController, PhotosController],
  providers: [
    { provide: ReaderPool, useFactory: () => new ReaderPool() },
    PhotoFolders,
    ExhibitStore,
    PhotoIntakeService,
    PhotoReaderService,
    EvidenceService,
    ReadPhotoJob,
  ],
  exports: [EvidenceService, PhotoIntakeService],
})
export class EvidenceModule {}
