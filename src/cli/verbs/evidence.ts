import { policyNumbers } from '../../adjudication/domain/assessment-faults.js';
import { checkEvidenceModel, type EvidenceModel, type FindingBar } from '../../diagnosis/diagnosis.contract.js';
import {
  compareModels,
  isLocalDate,
  learnModel,
  readLesson,
  reportOn,
  type LearningStrength,
  type Lesson,
  type ModelReport,
} from '../../diagnosis/learning.contract.js';
import { shippedDocuments } from '../../platform/files/shipped-documents.js';
import { namedChecklist, namedEvidenceModel, namedPolicy } from '../claim-documents.js';
import { readOptions } from '../command-options.js';
import { BadInput, DOCUMENT_BYTES, readJson } from '../json-input.js';
import { readJsonLines } from '../json-lines.js';
import { orderTable, orderTotals, sampleNames, sampleOrders } from '../samples/sample-orders.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** `evidence check MODEL.json`: whether an evidence model can be used. @returns 0 when it can, 1 when it has faults */
export async function checkModel(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, ['--checklist']);
  const [file] = operands;
  if (file === undefined || operands.length > 1) throw new Misused('Name one evidence model, or - for standard input.');
  const listed = options.get('--checklist');
  const checklist = listed === undefined ? undefined : await namedChecklist(listed, io);
  const outcome = checkEvidenceModel(await readJson(file, DOCUMENT_BYTES, io), checklist);
  if (!outcome.ok) {
    for (const { pointer, detail } of outcome.faults) io.err(`  ${pointer}  ${detail}`);
    io.out(JSON.stringify({ format: 'evidence-check/1', sound: false, faults: outcome.faults }));
    return EXIT.findings;
  }
  const { id, version, subjects, explanations, observations } = outcome.value;
  const sizes = {
    subjects: subjects.length,
    explanations: explanations.length,
    observations: observations.length,
  };
  io.out(JSON.stringify({ format: 'evidence-check/1', sound: true, id, version, ...sizes }));
  return EXIT.ok;
}

/** `evidence order [SAMPLE…]`: checks needed by the chosen order and by the checklist's. @returns 0 when the chosen order needs no more */
export async function orderSamples(args: readonly string[], io: Io): Promise<number> {
  const { operands } = readOptions(args, []);
  const known = sampleNames();
  const strangers = operands.filter((name) => !known.includes(name));
  if (strangers.length > 0) {
    throw new Misused(`There is no sample claim ${strangers.join(', ')}. There are: ${known.join(', ')}.`);
  }
  const orders = await sampleOrders(operands.length > 0 ? [...new Set(operands)] : known, io);
  const totals = orderTotals(orders);
  io.err(orderTable(orders));
  io.out(JSON.stringify({ format: 'evidence-order/1', samples: orders, totals }));
  const { chosen, listed } = totals;
  return chosen.checks <= listed.checks && chosen.seconds <= listed.seconds ? EXIT.ok : EXIT.findings;
}

/** `evidence learn`: prints a draft learnt from decided claims. @returns 0 with a draft, 1 when nothing was learnt or the draft is unsound */
export async function learnFromLessons(args: readonly string[], io: Io): Promise<number> {
  const names = ['--lessons', '--model', '--prior-claims', '--likelihood-claims', '--stated-on'];
  const { operands, options } = readOptions(args, names);
  if (operands.length > 0) throw new Misused(`evidence learn does not know what to do with ${operands.join(' ')}.`);
  const lessons = demanded(options, '--lessons');
  const strength = strengthOf(options);
  const model = await namedEvidenceModel(demanded(options, '--model'), io);
  const outcome = await learnModel(model, lessonsOf(lessons, io), strength);
  if (!outcome.ok) {
    io.err('The draft cannot be used:');
    for (const { pointer, detail } of outcome.faults) io.err(`  ${pointer}  ${detail}`);
    return EXIT.findings;
  }
  const { model: draft, tally, changes } = outcome.value;
  const left = [
    ...(tally.otherModels > 0 ? [`${tally.otherModels} are of other models`] : []),
    ...(tally.unknownExplanations > 0 ? [`${tally.unknownExplanations} explanations are not in the model`] : []),
  ];
  io.err(
    `${tally.read} lessons read, ${tally.used} used${left.length > 0 ? `; ${left.join('; ')}` : ''}. ${changes.length} numbers changed.`,
  );
  if (tally.used === 0) {
    io.err(`Nothing was learnt for ${model.id}; name lessons of this model.`);
    return EXIT.findings;
  }
  io.out(JSON.stringify(draft, null, 2));
  return EXIT.ok;
}

/** `evidence report`: scores models on decided claims. @returns 0 with a report, 1 when no case could be scored */
export async function reportLessons(args: readonly string[], io: Io): Promise<number> {
  const { operands, options } = readOptions(args, ['--lessons', '--model', '--challenger', '--policy', '--on']);
  if (operands.length > 0) throw new Misused(`evidence report does not know what to do with ${operands.join(' ')}.`);
  const file = demanded(options, '--lessons');
  const bar = await barOf(options, io);
  const named = options.get('--model');
  const against = options.get('--challenger');
  if (against !== undefined) {
    if (named === undefined) throw new Misused('--challenger needs --model, the version that it is measured against.');
    const [champion, challenger] = [await namedEvidenceModel(named, io), await namedEvidenceModel(against, io)];
    if (champion.id !== challenger.id) {
      throw new Misused(`${champion.id} and ${challenger.id} are no versions of one evidence model.`);
    }
    const comparison = await compareModels(champion, challenger, lessonsOf(file, io), bar);
    io.out(JSON.stringify(comparison, null, 2));
    return comparison.cases > 0 ? EXIT.ok : nothingScored(io);
  }
  const models = named === undefined ? await shippedModels(io) : [await namedEvidenceModel(named, io)];
  const report: ModelReport = await reportOn(models, lessonsOf(file, io), bar);
  io.out(JSON.stringify(report, null, 2));
  return report.all.cases > 0 ? EXIT.ok : nothingScored(io);
}

function nothingScored(io: Io): number {
  io.err(
    'No case could be scored: no lesson settles an explanation that the models have and that its observations open.',
  );
  return EXIT.findings;
}

function lessonsOf(file: string, io: Io): AsyncIterable<Lesson> {
  return readJsonLines(file, readLesson, io);
}

/** The newest version of every model that comes with the service. */
async function shippedModels(io: Io): Promise<EvidenceModel[]> {
  const ids = new Set(shippedDocuments('evidence-model').map(({ id }) => id));
  return Promise.all([...ids].map((id) => namedEvidenceModel(id, io)));
}

async function barOf(options: ReadonlyMap<string, string>, io: Io): Promise<FindingBar | undefined> {
  const [policy, on] = [options.get('--policy'), options.get('--on')];
  if (policy === undefined && on === undefined) return undefined;
  if (policy === undefined || on === undefined) throw new Misused('--policy and --on DATE belong together.');
  const compiled = await namedPolicy(policy, io);
  const { numbers, faults } = policyNumbers(compiled, dateOf('--on', on));
  if (faults.length > 0) throw new BadInput(policy, faults);
  return numbers.bar;
}

function strengthOf(options: ReadonlyMap<string, string>): LearningStrength {
  return {
    priorClaims: countOf(options, '--prior-claims'),
    likelihoodClaims: countOf(options, '--likelihood-claims'),
    statedOn: dateOf('--stated-on', demanded(options, '--stated-on')),
  };
}

function countOf(options: ReadonlyMap<string, string>, name: string): number {
  const text = demanded(options, name);
  const value = Number(text);
  if (/^\d+(?:\.\d+)?$/.test(text) && value > 0 && value <= 1e9) return value;
  throw new Misused(`${name} is ${text}; it must be a number above 0 and up to 1000000000.`);
}

function dateOf(name: string, text: string): string {
  if (!isLocalDate(text)) throw new Misused(`${name} is ${text}; it must be a date like 2026-03-31.`);
  return text;
}

function demanded(options: ReadonlyMap<string, string>, name: string): string {
  const value = options.get(name);
  if (value === undefined) throw new Misused(`${name} is missing.`);
  return value;
}
