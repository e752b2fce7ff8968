import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Public } from '../../access/access.decorators.js';
import { Refused } from '../../platform/http/problems.js';
import { crewFiles, sendBuilt } from '../crew-files.js';

/** As every page, and WebAssembly besides: the reader of labels is compiled on the phone. Nothing is loaded from anywhere else. */
const POLICY = [
  `default-src 'self'`,
  `script-src 'self' 'wasm-unsafe-eval'`,
  `img-src 'self' blob:`,
  `object-src 'none'`,
  `base-uri 'none'`,
  `form-action 'self'`,
  `frame-ancestors 'none'`,
].join('; ');

/** The screens of the app. Each is the same page, which finds out by its address what to show; what it may show, the phone has to ask for. */
const SCREENS = [
  'visit',
  'crew',
  'crew/help',
  'crew/visits/:id',
  'crew/visits/:id/begin',
  'crew/inspections/:id',
  'crew/inspections/:id/checks',
  'crew/inspections/:id/send',
  'crew/inspections/:id/sent',
];

/** The crew's app: its page, its files, and the worker that keeps both for work without a signal. */
@ApiExcludeController()
@Public()
@Controller()
export class CrewAppController {
  @Get(SCREENS)
  page(@Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    void reply.header('content-security-policy', POLICY).header('referrer-policy', 'same-origin');
    send(request, reply, 'index.html', 'no-cache');
  }

  /** At the root, because a worker answers only for addresses below its own. */
  @Get('crew-worker.js')
  worker(@Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    // What a worker may load is said by its own answer, not by the page's.
    void reply.header('content-security-policy', `default-src 'self'`);
    send(request, reply, 'worker.js', 'no-cache');
  }

  /** All but the first small script are named by their content, so that they can be kept for ever. */
  @Get('crew/files/:name')
  file(@Param('name') name: string, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    if (name === 'index.html' || name === 'worker.js') throw new Refused('not-found', 'There is no such file.');
    send(request, reply, name, name === 'early.js' ? 'no-cache' : 'public, max-age=31536000, immutable');
  }
}

function send(request: FastifyRequest, reply: FastifyReply, name: string, caching: string): void {
  sendBuilt(request, reply, crewFiles().get(name), caching);
}
