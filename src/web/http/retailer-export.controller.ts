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
import { CSV_HEAD, csvLine, jsonLine } from '../domain/claims-export.js';
import { demandRetailer } from '../demand-retailer.js';
import { text, type Form } from '../form-fields.js';

/** The retailer's claims as a file: everything it may see, a page at a time, so that any number fits. */
@ApiExcludeController()
@Controller('claims')
export class RetailerExportController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly clock: Clock,
  ) {}

  @Get('export')
  @Needs('claim.read')
  export(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): void {
    demandRetailer(actor);
    const format = (['csv', 'json'] as const).find((each) => each === (text(query, 'format') || 'csv'));
    if (format === undefined) throw new Refused('not-found', 'Claims are exported as csv or as json.');
    const find = text(query, 'find').slice(0, 80);
    const day = this.clock.now().toString().slice(0, 10);
    void reply
      .type(format === 'csv' ? 'text/csv; charset=utf-8' : 'application/json')
      .header('content-disposition', `attachment; filename="claims-${day}.${format}"`)
      .send(Readable.from(format === 'csv' ? this.csv(actor, find) : this.json(actor, find)));
  }

  private async *csv(actor: Actor, find: string): AsyncGenerator<string> {
    yield CSV_HEAD;
    for await (const lines of this.pages(actor, find)) yield lines.map(csvLine).join('');
  }

  private async *json(actor: Actor, find: string): AsyncGenerator<string> {
    let before = '[\n';
    for await (const lines of this.pages(actor, find)) {
      if (lines.length === 0) continue;
      yield before + lines.map(jsonLine).join(',\n');
      before = ',\n';
    }
    yield before === '[\n' ? '[]\n' : '\n]\n';
  }

  private async *pages(actor: Actor, find: string) {
    const filter = { order: 'newest' as const, ...(find === '' ? {} : { find }) };
    let cursor: string | undefined;
    do {
      const page = await this.claims.list(actor, filter, {
        limit: PAGE_SIZE_MAX,
        ...(cursor === undefined ? {} : { cursor }),
      });
      yield page.items;
      cursor = page.next;
    } while (cursor !== undefined);
  }
}
