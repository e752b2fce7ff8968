import { Global, Module } from '@nestjs/common';
import { CatalogueService } from './catalogue.service.js';
import { ModelsController } from './http/models.controller.js';
import { ModelStore } from './store/model.store.js';

/** Global, because later modules import its service by contract, not its wiring. */
@Global()
@Module({
  controllers: [ModelsController],
  providers: [ModelStore, CatalogueService],
  exports: [CatalogueService],
})
export class CatalogueModule {}
