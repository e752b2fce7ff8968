import { Body, Controller, Get, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { MarksService } from '../marks.service.js';
import { MarkDto, MarkListDto, MarkWishDto } from './mark.dto.js';
import { markDto, markWish } from './mark.mapper.js';

@ApiTags('photos')
@Controller('v1/photos/:photoId/marks')
export class MarksController {
  constructor(private readonly marks: MarksService) {}

  @Get()
  @Needs('exhibit.read')
  @ApiOperation({ summary: 'Regions marked in a photo, those that were taken back among them' })
  @ApiOkResponse({ type: MarkListDto })
  @Problems('not-found')
  async list(@CurrentActor() actor: Actor, @IdParam('photoId') photoId: string): Promise<MarkListDto> {
    return { items: (await this.marks.list(actor, photoId)).map(markDto) };
  }

  @Post()
  @Needs('exhibit.add')
  @Creates()
  @ApiOperation({ summary: 'Mark a region of a photo; the photo itself stays as it is' })
  @ApiCreatedResponse({ type: MarkDto })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async make(
    @CurrentActor() actor: Actor,
    @IdParam('photoId') photoId: string,
    @Body() wish: MarkWishDto,
  ): Promise<MarkDto> {
    return markDto(await this.marks.make(actor, photoId, markWish(wish)));
  }

  @Post(':markId/withdrawal')
  @Needs('exhibit.add')
  @Creates()
  @ApiOperation({ summary: 'Take a mark back; it stays on record with who did so' })
  @ApiCreatedResponse({ type: MarkDto })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async withdraw(
    @CurrentActor() actor: Actor,
    @IdParam('photoId') photoId: string,
    @IdParam('markId') markId: string,
  ): Promise<MarkDto> {
    return markDto(await this.marks.withdraw(actor, photoId, markId));
  }
}
