import type { FastifyReply } from 'fastify';
import { readTransport } from '../../adjudication/adjudication.contract.js';
import type { Fault } from '../../kernel/outcome.js';
import { money, moneyDecimal } from '../../kernel/money.js';
import { Invalid } from '../../platform/http/problems.js';
import { setVersion } from '../../platform/http/versions.js';
import { PACKET_CAUTION } from '../domain/packet-content.js';
import { outstandingMinor } from '../domain/recovery-life.js';
import { BANDS, csvRecord } from '../domain/statement.js';
import { referenceOf } from '../packets.service.js';
import type { RecoveryFile } from '../recoveries.service.js';
import type { Particulars } from '../recovery.contract.js';
import type { Statement } from '../statements.service.js';
import type { RecoveryRow } from '../store/recovery.store.js';
import type { RecoveryDto, RecoveryFileDto, StatementDto } from './recovery-answers.dto.js';
import type { ParticularsDto } from './recovery.dto.js';

export function recoveryDto(row: RecoveryRow): RecoveryDto {
  return {
    id: row.id,
    claimId: row.claimId,
    reference: referenceOf(row),
    party: row.party,
    partyName: row.partyName,
    state: row.state,
    currency: row.currency,
    demandedMinor: row.demandedMinor,
    lines: [...row.demand.lines],
    cap: row.demand.cap,
    cutMinor: row.demand.cutMinor,
    needs: [...row.needs],
    offeredMinor: row.offeredMinor,
    paidMinor: row.paidMinor,
    salvageMinor: row.salvageMinor,
    writtenOffMinor: row.writtenOffMinor,
    outstandingMinor: outstandingMinor(row),
    particulars: row.particulars,
    ...(row.theirReference === null ? {} : { theirReference: row.theirReference }),
    ...(row.sentAt === null ? {} : { sentAt: row.sentAt }),
    ...(row.acknowledgedAt === null ? {} : { acknowledgedAt: row.acknowledgedAt }),
    ...(row.answeredAt === null ? {} : { answeredAt: row.answeredAt }),
    version: row.version,
  };
}

/** Answers with a recovery and tells its version. */
export function answerWith(reply: FastifyReply, row: RecoveryRow): RecoveryDto {
  setVersion(reply, row.version);
  return recoveryDto(row);
}

export function fileDto(file: RecoveryFile): RecoveryFileDto {
  const { standing, elements, papers } = file.completeness;
  return {
    recovery: recoveryDto(file.row),
    completeness: { standing, elements: [...elements], papers: [...papers] },
    clocks: file.clocks.map(({ id, title, ground, source, owedBy, state, lastDay }) => ({
      id,
      title,
      ground,
      source,
      owedBy,
      state,
      lastDay,
    })),
    events: file.events.map(({ n, kind, at, actor, body, hash }) => ({ n, kind, at, by: actor.name, body, hash })),
    caution: PACKET_CAUTION,
  };
}

/** Reads what a person adds. @throws Invalid with a pointer for every mistake */
export function particularsOf(body: ParticularsDto): Particulars {
  const { transport: given, papers, ...rest } = body;
  const faults: Fault[] = [];
  const transport = given === undefined ? undefined : readTransport(given, '#/transport', faults);
  if (faults.length > 0) throw new Invalid(faults);
  return {
    ...rest,
    ...(papers === undefined ? {} : { papers: papers.map(({ paper, reference }) => ({ paper, reference })) }),
    ...(transport === undefined ? {} : { transport }),
  };
}

export function statementDto(statement: Statement): StatementDto {
  const { party, name, asOf, lines, ageing } = statement;
  return {
    party,
    name,
    asOf,
    lines: [...lines],
    ageing: ageing.map((each) => ({ ...each, bands: { ...each.bands } })),
  };
}

const HEAD = [
  'reference',
  'name',
  'state',
  'sent',
  'days',
  'age',
  'currency',
  'demanded',
  'paid',
  'salvage',
  'written off',
  'outstanding',
];

/** The statement as comma-separated values (RFC 4180): its lines, then one line for each currency and age band. Amounts in major units. */
export function statementCsv(statement: Statement): string {
  const records = statement.lines.map((line) => {
    const amount = (minor: number): string => moneyDecimal(money(minor, line.currency));
    return csvRecord([
      line.reference,
      line.partyName,
      line.state,
      line.sentAt,
      line.days,
      line.band,
      line.currency,
      amount(line.demandedMinor),
      amount(line.paidMinor),
      amount(line.salvageMinor),
      amount(line.writtenOffMinor),
      amount(line.outstandingMinor),
    ]);
  });
  const totals = statement.ageing.flatMap(({ currency, bands }) =>
    BANDS.map((band) =>
      csvRecord(['total', '', '', '', '', band, currency, '', '', '', '', moneyDecimal(money(bands[band], currency))]),
    ),
  );
  return [csvRecord(HEAD), ...records, ...totals].join('');
}
