import {
  assess,
  CLAIM_LIMITS,
  readClaimFile,
  type AssessmentInputs,
  type ClaimFile,
} from '../../adjudication/adjudication.contract.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { claimDocuments } from '../claim-documents.js';
import { readOptions } from '../command-options.js';
import { readHolidays } from '../holidays-file.js';
import { BadInput, readJson } from '../json-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** Options by which a claim file is judged. */
export const JUDGING_OPTIONS = [
  '--catalogue',
  '--policy',
  '--evidence-model',
  '--checklist',
  '--as-of',
  '--holidays',
] as const;

/**
 * `assess CLAIM.json`: prints the assessment of one claim as one JSON object. Needs no database and no network.
 * @returns 0 when the service proposes by itself, 1 when a person or more information is needed
 * @throws BadInput or Misused, which the entry turns into exit code 2
 */
export async function assessClaim(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, JUDGING_OPTIONS);
  const [file] = operands;
  if (file === undefined || operands.length > 1) throw new Misused('Name one claim file, or - for standard input.');
  const { source, claim, inputs } = await judgedBy(file, options, io);
  const outcome = assess(claim, inputs);
  if (!outcome.ok) throw new BadInput(source, outcome.faults);
  io.out(JSON.stringify(outcome.value, null, 2));
  return outcome.value.verdict === 'proposed' ? EXIT.ok : EXIT.findings;
}

/** A claim that has been read, and everything that it is judged by. */
export interface JudgedBy {
  /** Where the claim came from, for messages. */
  readonly source: string;
  readonly claim: ClaimFile;
  readonly inputs: AssessmentInputs;
}

/**
 * Reads a claim file and the documents that it or the options name.
 * @throws BadInput or Misused
 */
export async function judgedBy(file: string, options: ReadonlyMap<string, string>, io: Io): Promise<JudgedBy> {
  const inputs = [file, ...options.values()].filter((value) => value === '-');
  if (inputs.length > 1) throw new Misused('Only one input can come from standard input.');
  const source = file === '-' ? 'standard input' : file;
  const json = judgedAsOf(await readJson(file, CLAIM_LIMITS.bytes, io), options.get('--as-of'));
  const read = readClaimFile(json);
  if (!read.ok) throw new BadInput(source, read.faults);
  const claim = read.value;
  const documents = await claimDocuments(
    claim,
    {
      catalogue: options.get('--catalogue'),
      policy: options.get('--policy'),
      evidenceModel: options.get('--evidence-model'),
      checklist: options.get('--checklist'),
    },
    io,
  );
  const own = options.get('--holidays');
  const isHoliday = holidaysOf(claim.jurisdiction, own === undefined ? {} : await readHolidays(own, io));
  return { source, claim, inputs: { ...documents, isHoliday } };
}

/** The claim judged as of another instant; a bad instant is then found at `#/asOf` like any other. */
function judgedAsOf(json: unknown, asOf: string | undefined): unknown {
  return asOf !== undefined && typeof json === 'object' && json !== null && !Array.isArray(json)
    ? { ...json, asOf }
    : json;
}
