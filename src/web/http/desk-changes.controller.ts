import { Controller, Get, Req, Res, type BeforeApplicationShutdown } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { may, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Changes } from '../../platform/db/changes.js';

/** A remark so often that nothing between here and the browser takes the line for dead. */
const BREATH_MS = 20_000;
/** After this long the browser comes again, so that a session that has ended does not go on listening. */
const LONGEST_MS = 10 * 60_000;

/** Told only to those who see claims and what is demanded for them. */
const OF_CLAIMS: ReadonlySet<string> = new Set(['claim', 'recovery']);

/** Tells an open desk what changed, as server-sent events (HTML standard, 9.2): ids only, read anew with the reader's own rights. */
@ApiExcludeController()
@Controller('desk-data')
export class DeskChangesController implements BeforeApplicationShutdown {
  /** What ends the lines that are open. */
  private readonly open = new Set<() => void>();
  private ending = false;

  constructor(private readonly changes: Changes) {}

  /** A desk that listens does not keep the service from ending. */
  beforeApplicationShutdown(): void {
    this.ending = true;
    for (const end of this.open) end();
  }

  @Get('changes')
  @Needs('policy.read')
  listen(@CurrentActor() actor: Actor, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    reply.hijack();
    const out = reply.raw;
    out.writeHead(200, {
      'content-type': 'text/event-stream; charset=utf-8',
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
      'x-accel-buffering': 'no',
    });
    out.write('retry: 3000\n\n');
    // A browser whose line was just ended comes again at once while the service still accepts: it is sent away, to come back later.
    if (this.ending) return void out.end();
    const sees = may(actor, 'recovery.read');
    const silence = this.changes.hear(actor.tenant, (change) => {
      if (!sees && OF_CLAIMS.has(change.kind)) return;
      // A browser that does not read is let go; it comes again and reads everything.
      if (out.writableLength > 1_000_000) out.destroy();
      else out.write(`event: change\ndata: ${JSON.stringify(change)}\n\n`);
    });
    const breath = setInterval(() => out.write(': here\n\n'), BREATH_MS);
    const end = setTimeout(() => out.end(), LONGEST_MS);
    const cut = (): void => void out.destroy();
    this.open.add(cut);
    request.raw.on('close', () => {
      silence();
      this.open.delete(cut);
      clearInterval(breath);
      clearTimeout(end);
    });
  }
}
