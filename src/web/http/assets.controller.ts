import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Public } from '../../access/access.decorators.js';
import { Refused } from '../../platform/http/problems.js';
import { asset } from '../page-assets.js';

/** Style sheets, scripts and the sign of the pages. */
@ApiExcludeController()
@Public()
@Controller()
export class AssetsController {
  @Get('assets/:name')
  file(@Param('name') name: string, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    const found = asset(name);
    if (found === undefined) throw new Refused('not-found', 'There is no such file.');
    const exact = (request.query as { readonly v?: unknown }).v === found.tag;
    void reply
      .header('etag', `"${found.tag}"`)
      .header('cache-control', exact ? 'public, max-age=31536000, immutable' : 'no-cache');
    if (request.headers['if-none-match'] === `"${found.tag}"`) void reply.code(304).send();
    else void reply.type(found.type).send(found.body);
  }

  /** Browsers ask for it by themselves where a page did not name another. */
  @Get('favicon.ico')
  icon(@Res() reply: FastifyReply): void {
    const found = asset('mark.svg');
    if (found === undefined) throw new Refused('not-found', 'There is no such file.');
    void reply.header('cache-control', 'public, max-age=86400').type(found.type).send(found.body);
  }
}
