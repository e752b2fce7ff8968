import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Controller, Get, Param, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import { projectRoot } from '../config/project-root.js';
import { isProblemCode, Refused } from './problems.js';
import { Public } from './public.js';

/** What a problem's `type` leads to: the page of its code, as it stands in docs/problems. */
@Public()
@ApiExcludeController()
@Controller('problems')
export class ProblemPagesController {
  @Get(':code')
  async page(@Param('code') code: string, @Res() reply: FastifyReply): Promise<void> {
    // Only codes of the catalogue become part of a path.
    if (!isProblemCode(code)) throw new Refused('not-found', 'The service answers with no such problem.');
    const text = await readFile(join(projectRoot(), 'docs', 'problems', `${code}.md`), 'utf8');
    await reply.type('text/plain; charset=utf-8').header('cache-control', 'public, max-age=3600').send(text);
  }
}
