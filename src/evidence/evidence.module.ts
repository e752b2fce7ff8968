import { Module } from '@nestjs/common';
import { InspectionsModule } from '../inspections/inspections.module.js';
import { EvidenceService } from './evidence.service.js';
import { InspectionPhotosController } from './http/inspection-photos.controller.js';
import { MarksController } from './http/marks.controller.js';
import { PhotoPairsController } from './http/photo-pairs.controller.js';
import { PhotosController } from './http/photos.controller.js';
import { PicturesController } from './http/pictures.controller.js';
import { UploadsController } from './http/uploads.controller.js';
import { ReaderPool } from './imaging/reader-pool.js';
import { ReuseProcess } from './imaging/reuse-process.js';
import { FindReuseJob } from './jobs/find-reuse.job.js';
import { ReadPhotoJob } from './jobs/read-photo.job.js';
import { MarksService } from './marks.service.js';
import { PhotoCircumstances } from './photo-circumstances.js';
import { PhotoIntakeService } from './photo-intake.service.js';
import { PhotoPairsService } from './photo-pairs.service.js';
import { PhotoReaderService } from './photo-reader.service.js';
import { PhotoRereadingService } from './photo-rereading.service.js';
import { PhotoReceiptsService } from './photo-receipts.service.js';
import { ExhibitMarkStore } from './store/exhibit-mark.store.js';
import { PictureLinksService } from './picture-links.service.js';
import { PicturesService } from './pictures.service.js';
import { PhotoFeaturesService } from './photo-features.service.js';
import { PhotoLikenessService } from './photo-likeness.service.js';
import { PhotoReuseService } from './photo-reuse.service.js';
import { FingerprintSearchService } from './fingerprint-search.service.js';
import { ComparisonStore } from './store/comparison.store.js';
import { FingerprintStore } from './store/fingerprint.store.js';
import { PhotoPairStore } from './store/photo-pair.store.js';
import { ExhibitStore } from './store/exhibit.store.js';
import { PhotoFolders } from './store/photo-folders.js';
import { UploadStore } from './store/upload.store.js';
import { UsageStore } from './store/usage.store.js';
import { SweepUploadsJob } from './uploads/sweep-uploads.job.js';
import { UploadFiles } from './uploads/upload-files.js';
import { UploadSweepService } from './uploads/upload-sweep.service.js';
import { UploadsService } from './uploads/uploads.service.js';

@Module({
  imports: [InspectionsModule],
  controllers: [
    InspectionPhotosController,
    PhotosController,
    PhotoPairsController,
    MarksController,
    UploadsController,
    PicturesController,
  ],
  providers: [
    { provide: ReaderPool, useFactory: () => new ReaderPool() },
    { provide: ReuseProcess, useFactory: () => new ReuseProcess() },
    PhotoFolders,
    ExhibitStore,
    FingerprintStore,
    ComparisonStore,
    PhotoPairStore,
    FingerprintSearchService,
    PhotoFeaturesService,
    PhotoLikenessService,
    PhotoReuseService,
    PhotoPairsService,
    ExhibitMarkStore,
    MarksService,
    PhotoCircumstances,
    PhotoIntakeService,
    PhotoReaderService,
    PhotoReceiptsService,
    PicturesService,
    EvidenceService,
    PhotoRereadingService,
    PictureLinksService,
    ReadPhotoJob,
    FindReuseJob,
    UsageStore,
    UploadStore,
    UploadFiles,
    UploadsService,
    UploadSweepService,
    SweepUploadsJob,
  ],
  exports: [EvidenceService, MarksService, PhotoReceiptsService, PhotoIntakeService],
})
export class EvidenceModule {}
