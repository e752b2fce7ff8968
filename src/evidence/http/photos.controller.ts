import { Controller, Get, Param, Post, Req, Res, StreamableFile } from '@nestjs/common';
import { ApiCreatedResponse, ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import { Refused } from '../../platform/http/problems.js';
import { digestField, RENDITION_SIZES } from '../evidence.contract.js';
import { EvidenceService } from '../evidence.service.js';
import { PhotoRereadingService } from '../photo-rereading.service.js';
import { PictureLinksService } from '../picture-links.service.js';
import type { Sendable } from '../pictures.service.js';
import { ExhibitDto } from './photo.dto.js';
import { exhibitDto } from './photo.mapper.js';
import { PictureLinkDto } from './picture-link.dto.js';

@ApiTags('photos')
@Controller('v1/photos')
export class PhotosController {
  constructor(
    private readonly evidence: EvidenceService,
    private readonly rereading: PhotoRereadingService,
    private readonly links: PictureLinksService,
  ) {}

  @Get(':id')
  @Needs('exhibit.read')
  @ApiOperation({ summary: 'What is known of one photo' })
  @ApiOkResponse({ type: ExhibitDto })
  @Problems('not-found')
  async get(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ExhibitDto> {
    return exhibitDto(await this.evidence.get(actor, id), actor);
  }

  @Get(':id/renditions/:size')
  @Needs('claim.read')
  @ApiOperation({ summary: 'The photo upright, without location: longest side 256, 1024 or 2048 pixels' })
  @ApiProduces('image/webp')
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' } })
  @Problems('not-found')
  async rendition(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('size') size: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<StreamableFile | undefined> {
    const found = await this.evidence.rendition(actor, id, sizeOf(size));
    // The bytes of a rendition are named by their hash and never change; only who may see them does.
    void reply.header('etag', `"${found.sha256}"`).header('cache-control', 'private, max-age=31536000, immutable');
    if (request.headers['if-none-match'] === `"${found.sha256}"`) {
      void reply.code(304);
      return undefined;
    }
    return sent(reply, found);
  }

  @Get(':id/renditions/:size/link')
  @Needs('claim.read')
  @ApiOperation({ summary: 'A signed link to one picture, for a page whose reader is not signed in here' })
  @ApiOkResponse({ type: PictureLinkDto })
  @Problems('not-found')
  async link(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Param('size') size: string,
  ): Promise<PictureLinkDto> {
    return this.links.make(actor, id, sizeOf(size));
  }

  @Get(':id/original')
  @Needs('exhibit.locate')
  @ApiOperation({ summary: 'The bytes as they were received, for analysts; every look is logged' })
  @ApiProduces('image/jpeg', 'image/png', 'image/webp', 'image/heic')
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' } })
  @Problems('not-found')
  async original(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<StreamableFile> {
    const found = await this.evidence.original(actor, id);
    // A file may be a good picture and a script at once: it is only ever saved, never shown by a browser.
    void reply
      .header('content-disposition', `attachment; filename="${found.fileName}"`)
      .header('content-security-policy', `default-src 'none'; sandbox`)
      .header('cache-control', 'private, no-store');
    return sent(reply, found);
  }

  @Post(':id/reading')
  @Needs('exhibit.add')
  @Creates()
  @ApiOperation({ summary: 'Have a photo read once more that failed or waits for too long' })
  @ApiCreatedResponse({ type: ExhibitDto })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async readAgain(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ExhibitDto> {
    await this.rereading.again(actor, id);
    return exhibitDto(await this.evidence.get(actor, id), actor);
  }

  @Post(':id/withdrawal')
  @Needs('exhibit.add')
  @Creates()
  @ApiOperation({ summary: 'Take a photo out of the evidence; the original and the record of it stay' })
  @ApiCreatedResponse({ type: ExhibitDto })
  @Problems('not-found', ...CREATION_PROBLEMS)
  async withdraw(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<ExhibitDto> {
    return exhibitDto(await this.evidence.withdraw(actor, id), actor);
  }
}

/** @throws Refused not-found for any other than the three sizes */
function sizeOf(text: string): number {
  const size = RENDITION_SIZES.find((each) => String(each) === text);
  if (size === undefined) throw new Refused('not-found', 'Renditions come in 256, 1024 and 2048 pixels.');
  return size;
}

function sent(reply: FastifyReply, found: Sendable): StreamableFile {
  void reply.header('x-content-type-options', 'nosniff').header('repr-digest', digestField(found.sha256));
  return new StreamableFile(found.open(), { type: found.mediaType, length: found.bytes });
}
