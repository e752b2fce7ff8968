// Assessments per second of the command line's core on one thread, over every sample claim, and where the time goes. The shares are
// ratios within this run; the rate is a figure of this machine.
import { readdirSync, existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { assess, claimClocks, readClaimFile } from '../../dist/src/adjudication/adjudication.contract.js';
import { claimDocuments } from '../../dist/src/cli/claim-documents.js';
import { compileModel, findings, nextChecks } from '../../dist/src/diagnosis/diagnosis.contract.js';
import {
  askedItems,
  checkAnswers,
  observationsFrom,
  owedPhotos,
  raisedStops,
} from '../../dist/src/inspections/inspections.contract.js';
import { holidaysOf } from '../../dist/src/platform/calendar/holidays.js';

const SECONDS = Number(process.argv[2] ?? 8);
const root = fileURLToPath(new URL('../..', import.meta.url));
const io = { out: () => {}, err: () => {}, stdin: () => Promise.resolve(new Uint8Array()) };

let insidePolicy = 0;
const cases = await samples();
const STAGES = {
  'checking answers': (one) => checkAnswers(one.inputs.checklist, one.claim.inspection.answers, one.unit),
  'walking the checklist': (one) => {
    askedItems(one.inputs.checklist, one.claim.inspection.answers, one.unit);
    observationsFrom(one.inputs.checklist, one.claim.inspection.answers, one.unit);
    raisedStops(one.inputs.checklist, one.claim.inspection.answers, one.unit);
    owedPhotos(one.inputs.checklist, one.claim.inspection.answers, one.unit, one.claim.photos);
  },
  finding: (one) => findings(one.compiled, one.observations, one.bar),
  'next checks': (one) => nextChecks(one.compiled, one.observations, one.bar),
  clocks: (one) => claimClocks(one.inputs.policy.document.clocks ?? [], one.clockContext),
};
const WORK = {
  whole: (one) => assess(one.claim, one.inputs),
  // Under a stopwatch around each evaluation; only the time inside is kept.
  policy: (one) => assess(one.claim, one.watched),
  reading: (one) => readClaimFile(one.json),
  printing: (one) => JSON.stringify(one.assessment),
  ...STAGES,
};

measure(1);
insidePolicy = 0;
const { passes, spent } = measure(SECONDS);
const each = (name) => (spent[name] * 1000) / (passes * cases.length);
const whole = each('whole');
const stages = Object.fromEntries(Object.keys(STAGES).map((name) => [name, each(name)]));
stages.policy = (insidePolicy * 1000) / (passes * cases.length);
stages['remedy, shares and the rest'] = whole - Object.values(stages).reduce((a, b) => a + b, 0);
const ofWhole = (microseconds) => Number((microseconds / whole).toFixed(3));
const perSecond = Math.round(1e6 / whole);

const rows = Object.entries(stages).sort((a, b) => b[1] - a[1]);
console.log(`${cases.length} sample claims, ${passes} times each, on one thread`);
console.log(`${perSecond} assessments per second, ${whole.toFixed(0)} µs each, of which`);
for (const [name, microseconds] of rows) {
  const share = (ofWhole(microseconds) * 100).toFixed(1);
  console.log(`  ${share.padStart(5)} %  ${microseconds.toFixed(0).padStart(5)} µs  ${name}`);
}
console.log(
  `besides: reading the claim file ${each('reading').toFixed(0)} µs, printing JSON ${each('printing').toFixed(0)} µs`,
);
console.log(
  JSON.stringify({
    bench: 'assess',
    ratios: Object.fromEntries(rows.map(([name, microseconds]) => [name, ofWhole(microseconds)])),
    detail: {
      assessmentsPerSecond: perSecond,
      microsecondsEach: Math.round(whole),
      claims: cases.length,
      passes,
      readingMicroseconds: Math.round(each('reading')),
      printingMicroseconds: Math.round(each('printing')),
    },
  }),
);

/** Does every kind of work over all claims in turn, so that a slow moment of the machine slows all of them alike. */
function measure(seconds) {
  const spent = Object.fromEntries(Object.keys(WORK).map((name) => [name, 0]));
  const end = performance.now() + seconds * 1000;
  let passes = 0;
  for (; performance.now() < end; passes += 1) {
    for (const [name, work] of Object.entries(WORK)) {
      const start = performance.now();
      for (const one of cases) work(one);
      spent[name] += performance.now() - start;
    }
  }
  return { passes, spent };
}

/** Every sample claim with its documents and what the stages in between work on. */
async function samples() {
  const folder = path.join(root, 'sample-claims');
  const names = readdirSync(folder).filter((name) => existsSync(path.join(folder, name, 'claim.json')));
  if (names.length === 0) throw new Error('there are no sample claims to measure');
  const found = [];
  for (const name of names) {
    const json = JSON.parse(readFileSync(path.join(folder, name, 'claim.json'), 'utf8'));
    const { value: claim, faults } = readClaimFile(json);
    if (!claim) throw new Error(`${name}: ${JSON.stringify(faults)}`);
    found.push(prepared(name, json, claim, await claimDocuments(claim, {}, io)));
  }
  return found;
}

function prepared(name, json, claim, documents) {
  const inputs = { ...documents, isHoliday: holidaysOf(claim.jurisdiction) };
  const { model, policy } = inputs;
  const unit = {
    serial: claim.unit.serial,
    packingList: model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces })),
  };
  const on = claim.events.delivered.slice(0, 10);
  const number = (parameter) => Number(policy.parameter(parameter, on));
  const bar = {
    probability: number('bar probability'),
    marginDecibans: number('bar margin decibans'),
    surprise: number('bar surprise'),
    worthBits: number('worth bits'),
  };
  const clockContext = {
    events: claim.events,
    asOf: claim.asOf,
    zone: claim.zone,
    ground: claim.ground,
    receipt: claim.delivery.receipt,
    safety: false,
    isHoliday: inputs.isHoliday,
    length: (parameter, day) => policy.parameter(parameter, day),
  };
  const compiled = compileModel(inputs.evidenceModel);
  const observations = observationsFrom(inputs.checklist, claim.inspection.answers, unit);
  const outcome = assess(claim, inputs);
  if (!outcome.ok) throw new Error(`${name}: ${JSON.stringify(outcome.faults)}`);
  const assessment = outcome.value;
  const watched = { ...inputs, policy: watchedPolicy(policy) };
  return { name, json, claim, inputs, watched, unit, bar, clockContext, compiled, observations, assessment };
}

/** The policy with a stopwatch around each evaluation. */
function watchedPolicy(policy) {
  return {
    document: policy.document,
    hash: policy.hash,
    parameter: (name, on) => policy.parameter(name, on),
    evaluate: (...args) => {
      const start = performance.now();
      const evaluation = policy.evaluate(...args);
      insidePolicy += performance.now() - start;
      return evaluation;
    },
  };
}
