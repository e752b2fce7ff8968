import { Readable } from 'node:stream';
import { Body, Controller, Get, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { GROUNDS } from '../../kernel/vocabulary.js';
import { Clock } from '../../platform/clock.js';
import { isCalendarDate } from '../../platform/http/fields.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { demandRetailer } from '../demand-retailer.js';
import { boardView } from '../domain/board-views.js';
import { EXPORT_COLUMNS } from '../domain/claims-export.js';
import { EVERY, EXPORT_FORMATS, type ExportFormat, type ExportWish } from '../domain/export-wish.js';
import { attempt, fault, oneOf, text, texts, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerExport, type RetailerExportView } from '../pages/retailer-export.js';
import { fileOf, RetailerExportsService } from '../retailer-exports.service.js';

/** The retailer's claims as a file: everything it may see, a page at a time, so that any number fits. */
@ApiExcludeController()
@Controller('claims/export')
export class RetailerExportController {
  constructor(
    private readonly exports: RetailerExportsService,
    private readonly clock: Clock,
  ) {}

  @Get()
  @Needs('claim.read')
  async page(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const done = (['made', 'ended'] as const).find((each) => each === text(query, 'done'));
    await this.send(actor, reply, { typed: query ?? {}, done });
  }

  /**
   * The first page is read before the answer begins, so that a failure there is a page that says so; a failure later breaks the
   * connection, so that nobody takes a part for the whole.
   */
  @Get('file')
  @Needs('claim.read')
  async file(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(async () => {
      const wish = readWish(query ?? {});
      const pages = this.exports.lines(actor, wish);
      const first = await pages.next();
      await this.exports.noteTaken(actor, wish);
      return { wish, all: from(first.done === true ? [] : first.value, pages) };
    });
    if (!done.ok) return this.send(actor, reply, { typed: query ?? {}, trouble: done.trouble });
    const { wish, all } = done.value;
    asFile(reply, wish.format, this.clock.now().toString()).send(Readable.from(fileOf(wish, all)));
  }

  /** A file that was made by itself. */
  @Get('past/:id')
  @Needs('claim.read')
  async past(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const { wish, madeAt, content } = await this.exports.file(actor, id);
    asFile(reply, wish.format, madeAt).send(content);
  }

  @Post('schedules')
  @Needs('claim.read')
  async schedule(@CurrentActor() actor: Actor, @Body() form: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    const done = await attempt(async () => {
      const every = oneOf(form ?? {}, 'every', EVERY, 'How often');
      const wish = readWish({ ...form, from: '', to: '' });
      return this.exports.schedule(actor, every, { ...wish, newOnly: text(form, 'newOnly') === 'yes' });
    });
    if (done.ok) goTo(reply, '/claims/export?done=made#schedules');
    else await this.send(actor, reply, { typed: form ?? {}, trouble: done.trouble });
  }

  @Post('schedules/:id/end')
  @Needs('claim.read')
  async end(@CurrentActor() actor: Actor, @IdParam('id') id: string, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    await this.exports.endSchedule(actor, id);
    goTo(reply, '/claims/export?done=ended#schedules');
  }

  private async send(
    actor: Actor,
    reply: FastifyReply,
    more: Pick<RetailerExportView, 'typed' | 'trouble' | 'done'>,
  ): Promise<void> {
    const page = <RetailerExport onlooker={onlookerOf(actor)} {...await this.exports.read(actor)} {...more} />;
    sendPage(reply, page, more.trouble?.status ?? 200);
  }
}

function asFile(reply: FastifyReply, format: ExportFormat, at: string): FastifyReply {
  return reply
    .type(format === 'csv' ? 'text/csv; charset=utf-8' : 'application/json')
    .header('content-disposition', `attachment; filename="claims-${at.slice(0, 10)}.${format}"`)
    .header('cache-control', 'no-store');
}

/** What a form or an address asks for. No column named means all of them. @throws Invalid, Refused */
function readWish(form: Form): ExportWish {
  const format = EXPORT_FORMATS.find((each) => each === (text(form, 'format') || 'csv'));
  if (format === undefined) throw new Refused('not-found', 'Claims are exported as csv or as json.');
  const [first, last] = [dayOf(form, 'from'), dayOf(form, 'to')];
  if (first !== '' && last !== '' && last < first) throw fault('to', 'The last day lies before the first one.');
  const named = texts(form, 'columns');
  const ground = text(form, 'ground');
  return {
    format,
    columns: named.length === 0 && text(form, 'picked') === '' ? EXPORT_COLUMNS : columnsOf(named),
    view: boardView(text(form, 'view')).id,
    find: text(form, 'find').slice(0, 80),
    ground: GROUNDS.find((each) => each === ground) ?? '',
    from: first,
    to: last,
  };
}

function columnsOf(named: readonly string[]): ExportWish['columns'] {
  const columns = EXPORT_COLUMNS.filter((column) => named.includes(column));
  if (columns.length === 0) throw fault('columns', 'Tick at least one column.');
  return columns;
}

function dayOf(form: Form, name: 'from' | 'to'): string {
  const day = text(form, name);
  if (day === '' || isCalendarDate(day)) return day;
  throw fault(name, 'This is not a date. Write it as year, month and day: 2026-03-31.');
}

async function* from<T>(
  first: readonly T[],
  rest: AsyncIterable<readonly T[]>,
): AsyncGenerator<readonly T[], void, undefined> {
  yield first;
  yield* rest;
}
