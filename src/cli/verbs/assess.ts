import { assess, CLAIM_LIMITS, readClaimFile } from '../../adjudication/adjudication.contract.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { claimDocuments } from '../claim-documents.js';
import { readOptions } from '../command-options.js';
import { readHolidays } from '../holidays-file.js';
import { BadInput, readJson } from '../json-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

const OPTIONS = ['--catalogue', '--policy', '--evidence-model', '--checklist', '--as-of', '--holidays'];

/**
 * `assess CLAIM.json`: prints the assessment of one claim as one JSON object. Needs no database and no network.
 * @returns 0 when the service proposes by itself, 1 when a person or more information is needed
 * @throws BadInput or Misused, which the entry turns into exit code 2
 */
export async function assessClaim(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, OPTIONS);
  const [file] = operands;
  if (file === undefined || operands.length > 1) throw new Misused('Name one claim file, or - for standard input.');
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
  const outcome = assess(claim, { ...documents, isHoliday });
  if (!outcome.ok) throw new BadInput(source, outcome.faults);
  io.out(JSON.stringify(outcome.value, null, 2));
  return outcome.value.verdict === 'proposed' ? EXIT.ok : EXIT.findings;
}

/** The claim judged as of another instant; a bad instant is then found at `#/asOf` like any other. */
function judgedAsOf(json: unknown, asOf: string | undefined): unknown {
  return asOf !== undefined && typeof json === 'object' && json !== null && !Array.isArray(json)
    ? { ...json, asOf }
    : json;
}
