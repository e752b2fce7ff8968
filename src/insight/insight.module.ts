import { Module } from '@nestjs/common';
import { FiguresService } from './figures.service.js';
import { FiguresController } from './http/figures.controller.js';
import { FiguresReadModel } from './store/figures.read-model.js';

@Module({
  controllers: [FiguresController],
  providers: [FiguresReadModel, FiguresService],
})
export class InsightModule {}
