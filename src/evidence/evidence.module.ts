import { Module } from '@nestjs/common';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { EvidenceService } from './evidence.service.js';
import { InspectionPhotosController } from './http/inspection-photos.controller.js';
import { PhotosController } from './http/photos.controller.js';
import { ReaderPool } from './imaging/reader-pool.js';
import { ReadPhotoJob } from './jobs/read-photo.job.js';
import { PhotoCircumstances } from './photo-circumstances.js';
import { PhotoIntakeService } from './photo-intake.service.js';
import { PhotoReaderService } from './photo-reader.service.js';
import { PhotoReceiptsService } from './photo-receipts.service.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';

@Module({
  imports: [InspectionsModule],
  controllers: [InspectionPhotosController, PhotosController],
  providers: [
    { provide: ReaderPool, useFactory: () => new ReaderPool() },
    PhotoFolders,
    ExhibitStore,
    PhotoCircumstances,
    PhotoIntakeService,
    PhotoReaderService,
    PhotoReceiptsService,
    EvidenceService,
    ReadPhotoJob,
  ],
  exports: [EvidenceService, PhotoReceiptsService, PhotoIntakeService],
})
export class EvidenceModule {}
