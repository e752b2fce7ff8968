import { Module } from '@nestjs/common';

/** The pages for crew, desk and retailer. */
@Module({})
export class WebModule {}
