import { join } from 'node:path';
import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Public } from '../../access/access.decorators.js';
import { projectRoot } from '../../platform/config/project-root.js';
import { Refused } from '../../platform/http/problems.js';
import { builtFiles, sendBuilt, type CrewFile } from '../crew-files.js';

/** It may stand in a frame of the desk, asks nobody for anything, and sends nothing anywhere. */
const POLICY = [
  `default-src 'none'`,
  `script-src 'self'`,
  `style-src 'self'`,
  `img-src 'self' blob:`,
  `base-uri 'none'`,
  `form-action 'none'`,
  `frame-ancestors 'self'`,
].join('; ');

let known: ReadonlyMap<string, CrewFile> | undefined;

function files(): ReadonlyMap<string, CrewFile> {
  known ??= builtFiles(join(projectRoot(), 'dist/web/preview'));
  return known;
}

/**
 * The crew's screens for the desk, to see a checklist as a crew sees it. The page holds nothing: the desk hands it the checklist. It does
 * not lie below /crew, where the worker of the crew's app would answer.
 */
@ApiExcludeController()
@Public()
@Controller('checklist-preview')
export class ChecklistPreviewController {
  @Get()
  page(@Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    void reply.header('content-security-policy', POLICY).header('x-frame-options', 'SAMEORIGIN');
    sendBuilt(request, reply, files().get('index.html'), 'no-cache');
  }

  @Get('files/:name')
  file(@Param('name') name: string, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    if (name === 'index.html') throw new Refused('not-found', 'There is no such file.');
    sendBuilt(request, reply, files().get(name), 'public, max-age=31536000, immutable');
  }
}
