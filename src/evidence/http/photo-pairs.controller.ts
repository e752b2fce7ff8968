import { Body, Controller, Get, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { PhotoPairsService } from '../photo-pairs.service.js';
import { PairOpinionWishDto, PhotoPairDto, PhotoPairListDto } from './photo-pair.dto.js';
import { pairDto, pairListDto } from './photo-pair.mapper.js';

@ApiTags('photos')
@Controller('v1')
export class PhotoPairsController {
  constructor(private readonly pairs: PhotoPairsService) {}

  @Get('photos/:photoId/pairs')
  @Needs('exhibit.compare')
  @ApiOperation({ summary: 'Photos of other visits that look like this one, each pair for a person to look at' })
  @ApiOkResponse({ type: PhotoPairListDto })
  @Problems('not-found')
  async ofPhoto(@CurrentActor() actor: Actor, @IdParam('photoId') photoId: string): Promise<PhotoPairListDto> {
    return pairListDto(await this.pairs.ofPhoto(actor, photoId));
  }

  @Get('inspections/:inspectionId/photo-pairs')
  @Needs('exhibit.compare')
  @ApiOperation({ summary: 'The same for every photo of an inspection, and so of the claim that rests on it' })
  @ApiOkResponse({ type: PhotoPairListDto })
  @Problems('not-found')
  async ofInspection(
    @CurrentActor() actor: Actor,
    @IdParam('inspectionId') inspectionId: string,
  ): Promise<PhotoPairListDto> {
    return { items: (await this.pairs.ofInspection(actor, inspectionId)).map(pairDto) };
  }

  @Get('photo-pairs/:id')
  @Needs('exhibit.compare')
  @ApiOperation({ summary: 'One pair of photos' })
  @ApiOkResponse({ type: PhotoPairDto })
  @Problems('not-found')
  async get(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<PhotoPairDto> {
    return pairDto(await this.pairs.get(actor, id));
  }

  @Post('photo-pairs/:id/opinions')
  @Needs('exhibit.compare')
  @Creates()
  @ApiOperation({ summary: 'Say whether both photos show the same thing; earlier opinions stay' })
  @ApiCreatedResponse({ type: PhotoPairDto })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async say(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() { opinion, words }: PairOpinionWishDto,
  ): Promise<PhotoPairDto> {
    return pairDto(await this.pairs.say(actor, id, { opinion, words }));
  }
}
