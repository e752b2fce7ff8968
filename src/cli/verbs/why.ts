import { whyOf } from '../../adjudication/adjudication.contract.js';
import { readOptions } from '../command-options.js';
import { BadInput } from '../json-input.js';
import { EXIT, Misused, type Io } from '../verb.js';
import { JUDGING_OPTIONS, judgedBy } from './assess.js';

/**
 * `why CLAIM.json POINTER`: prints why one value of the claim's assessment is what it is, as one JSON object.
 * @returns 0
 * @throws BadInput or Misused, which the entry turns into exit code 2; BadInput also where the assessment has nothing at that place
 */
export async function whyValue(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, JUDGING_OPTIONS);
  const [file, pointer] = operands;
  if (file === undefined || pointer === undefined || operands.length > 2) {
    throw new Misused('Name one claim file and one place in its assessment, such as /remedy/customerLines/0.');
  }
  const { source, claim, inputs } = await judgedBy(file, options, io);
  const outcome = whyOf(claim, inputs, pointer);
  if (!outcome.ok) throw new BadInput(source, outcome.faults);
  if (outcome.value === undefined) {
    const detail = `The assessment of ${source} has nothing at ${pointer}; look at what assess prints for it.`;
    throw new BadInput('the pointer', [{ pointer: '#', detail }]);
  }
  io.out(JSON.stringify(outcome.value, null, 2));
  return EXIT.ok;
}
