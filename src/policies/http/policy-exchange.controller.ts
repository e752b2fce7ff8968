import { Body, Controller, Get, HttpCode, Param, Post, Query, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Clock } from '../../platform/clock.js';
import { VersionParam } from '../../platform/documents/version.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Invalid } from '../../platform/http/problems.js';
import { fromCsv, fromDmn, toCsv, toDmn, toMarkdown } from '../exchange.contract.js';
import { formatPolicy } from '../analysis.contract.js';
import { compilePolicy, type PolicyDocument } from '../policies.contract.js';
import { PolicyVersionsService } from '../policy-versions.service.js';
import { CsvImportBody, ExportQuery, ImportBody, ImportView, type ExportFormat } from './policy-exchange.dto.js';

const TYPES: Readonly<Record<ExportFormat, string>> = {
  json: 'application/json',
  dmn: 'application/xml; charset=utf-8',
  csv: 'text/csv; charset=utf-8',
  md: 'text/markdown; charset=utf-8',
};

/** Policies for and from other programs. */
@ApiTags('policies')
@Controller('v1/policies')
export class PolicyExchangeController {
  constructor(
    private readonly versions: PolicyVersionsService,
    private readonly clock: Clock,
  ) {}

  @Get(':code/versions/:version/export')
  @Needs('policy.read')
  @ApiOperation({ summary: 'A version of a policy as JSON, DMN 1.3 XML, CSV or Markdown' })
  @ApiProduces(...Object.values(TYPES))
  @ApiOkResponse({ schema: { type: 'string' } })
  @Problems('not-found')
  async export(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Query() query: ExportQuery,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const { row } = await this.versions.life(actor, { code, version });
    // Safe: a version is stored only when its document has compiled.
    const document = row.body as PolicyDocument;
    const format = query.format ?? 'json';
    const on = query.on ?? this.clock.now().toZonedDateTimeISO(document.zone).toPlainDate().toString();
    void reply
      .type(TYPES[format])
      .header('content-disposition', `attachment; filename="${code}.${version}.${format}"`)
      .send(written(format, document, on));
  }

  @Post('imports')
  @HttpCode(200)
  @Needs('policy.edit')
  @ApiOperation({ summary: 'Read a decision model (DMN 1.2 to 1.5 XML) as a policy document; nothing is stored' })
  @ApiOkResponse({ type: ImportView })
  @Problems('invalid-request')
  import(@Body() body: ImportBody): ImportView {
    const outcome = fromDmn(body.xml, body.head);
    if (!outcome.ok) {
      throw new Invalid(
        outcome.faults.map(({ line, column, from, to, detail }) => ({
          pointer: '#/xml',
          detail: `Line ${line}, column ${column} (characters ${from} to ${to}): ${detail}`,
        })),
      );
    }
    return { document: { ...outcome.document }, notices: [...outcome.notices] };
  }

  @Post(':code/versions/:version/imports')
  @HttpCode(200)
  @Needs('policy.edit')
  @ApiOperation({
    summary:
      'Read tables and parameters (CSV as exported) onto a version; nothing is stored, the version stays as it is',
  })
  @ApiOkResponse({ type: ImportView })
  @Problems('not-found', 'invalid-request')
  async importTables(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @VersionParam() version: number,
    @Body() body: CsvImportBody,
  ): Promise<ImportView> {
    const { row } = await this.versions.life(actor, { code, version });
    // Safe: a version is stored only when its document has compiled.
    const outcome = fromCsv(body.csv, row.body as PolicyDocument);
    if (!outcome.ok) throw refusedLines(outcome.faults);
    const compiled = compilePolicy(outcome.document);
    if (!compiled.ok) {
      throw refusedLines(
        compiled.faults.map(({ decision, rule, detail }) => ({ line: outcome.lineOf(decision, rule), detail })),
      );
    }
    return { document: { ...outcome.document }, notices: [...outcome.notices] };
  }
}

function refusedLines(faults: readonly { readonly line: number | undefined; readonly detail: string }[]): Invalid {
  return new Invalid(
    faults.map(({ line, detail }) => ({
      pointer: '#/csv',
      detail: line === undefined ? detail : `Line ${line}: ${detail}`,
    })),
  );
}

function written(format: ExportFormat, document: PolicyDocument, on: string): string {
  switch (format) {
    case 'json':
      return formatPolicy(document);
    case 'dmn':
      return toDmn(document, on).xml;
    case 'csv':
      return toCsv(document);
    case 'md':
      return toMarkdown(document);
  }
}
