import { Module } from '@nestjs/common';
import { FiguresService } from './figures.service.js';
import { FiguresController } from './http/figures.controller.js';
import { TrailController } from './http/trail.controller.js';
import { FiguresReadModel } from './store/figures.read-model.js';
import { TrailReadModel } from './store/trail.read-model.js';
import { TrailService } from './trail.service.js';

@Module({
  controllers: [FiguresController, TrailController],
  providers: [FiguresReadModel, FiguresService, TrailReadModel, TrailService],
})
export class InsightModule {}
