import { Controller, Get, Param, Query, Res, StreamableFile } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { Public } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { PictureLinksService } from '../picture-links.service.js';
import { PictureLinkQuery } from './picture-link.dto.js';

/** Pictures behind signed links, for pages whose reader is not signed in here. */
@ApiTags('photos')
@Controller('v1/pictures')
export class PicturesController {
  constructor(private readonly links: PictureLinksService) {}

  @Get(':tenantId/:photoId/:size')
  @Public()
  @ApiOperation({ summary: 'The picture behind a signed link, for a short while, without signing in' })
  @ApiProduces('image/webp')
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' } })
  @Problems('not-found', 'picture-link-invalid', 'picture-link-expired')
  async follow(
    @IdParam('tenantId') tenant: string,
    @IdParam('photoId') photo: string,
    @Param('size') size: string,
    @Query() { until, signature }: PictureLinkQuery,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<StreamableFile> {
    const found = await this.links.follow({ tenant, photo, size: Number(size), until: Number(until) }, signature);
    void reply
      .header('cache-control', `private, max-age=${found.secondsLeft}`)
      .header('x-content-type-options', 'nosniff')
      // A page of another origin may show what its link opens; everything else of the service it may not.
      .header('cross-origin-resource-policy', 'cross-origin');
    return new StreamableFile(found.open(), { type: found.mediaType, length: found.bytes });
  }
}
