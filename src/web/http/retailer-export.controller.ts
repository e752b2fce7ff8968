import { Readable } from 'node:stream';
import { Controller, Get, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { Clock } from '../../platform/clock.js';
import { PAGE_SIZE_MAX } from '../../platform/http/pages.js';
import { Refused } from '../../platform/http/problems.js';
import { boardFilter, boardView } from '../domain/board-views.js';
import { CSV_HEAD, csvLine, jsonLine } from '../domain/claims-export.js';
import { demandRetailer } from '../demand-retailer.js';
import { text, type Form } from '../form-fields.js';

type Filter = ReturnType<typeof boardFilter>;
type Lines = Awaited<ReturnType<ClaimsService['list']>>['items'];

/** The retailer's claims as a file: everything it may see, a page at a time, so that any number fits. */
@ApiExcludeController()
@Controller('claims')
export class RetailerExportController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
  ) {}

  /**
   * Oldest first, each claim once, also when claims change meanwhile. The first page is read before the answer begins, so that a
   * failure there is a page that says so; a failure later breaks the connection, so that nobody takes a part for the whole.
   */
  @Get('export')
  @Needs('claim.read')
  async export(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const format = (['csv', 'json'] as const).find((each) => each === (text(query, 'format') || 'csv'));
    if (format === undefined) throw new Refused('not-found', 'Claims are exported as csv or as json.');
    const filter = boardFilter(boardView(text(query, 'view')), text(query, 'find').slice(0, 80));
    const pages = this.pages(actor, filter);
    const first = await pages.next();
    const all = from(first.done === true ? [] : first.value, pages);
    const day = this.clock.now().toString().slice(0, 10);
    void reply
      .type(format === 'csv' ? 'text/csv; charset=utf-8' : 'application/json')
      .header('content-disposition', `attachment; filename="claims-${day}.${format}"`)
      .header('cache-control', 'no-store')
      .send(Readable.from(format === 'csv' ? csv(all) : json(all)));
  }

  private async *pages(actor: Actor, filter: Filter): AsyncGenerator<Lines, void, undefined> {
    let cursor: string | undefined;
    do {
      const page = await this.claims.list(
        actor,
        { ...filter, order: 'opened' },
        { limit: PAGE_SIZE_MAX, ...(cursor === undefined ? {} : { cursor }) },
      );
      yield page.items;
      cursor = page.next;
    } while (cursor !== undefined);
  }
}

async function* from(first: Lines, rest: AsyncIterable<Lines>): AsyncGenerator<Lines, void, undefined> {
  yield first;
  yield* rest;
}

async function* csv(pages: AsyncIterable<Lines>): AsyncGenerator<string, void, undefined> {
  yield CSV_HEAD;
  for await (const lines of pages) yield lines.map(csvLine).join('');
}

async function* json(pages: AsyncIterable<Lines>): AsyncGenerator<string, void, undefined> {
  let before = '[\n';
  for await (const lines of pages) {
    if (lines.length === 0) continue;
    yield before + lines.map(jsonLine).join(',\n');
    before = ',\n';
  }
  yield before === '[\n' ? '[]\n' : '\n]\n';
}
