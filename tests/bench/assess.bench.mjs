// Two rates on one thread: findings with the next best check over a large model, and whole assessments over every sample claim with where
// the time goes. Seconds are those of the thread's own processor time, so that a busy machine does not pass for a slow program; what the
// clock on the wall says is printed beside it. The shares are ratios within this run; the rates are figures of this machine.
import { readdirSync, existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { assess, readClaimFile } from '../../dist/src/adjudication/adjudication.contract.js';
import { clocksOfClaim } from '../../dist/src/adjudication/domain/clocks-of-claim.js';
import { claimDocuments } from '../../dist/src/cli/claim-documents.js';
import { compileModel, findings, nextChecks } from '../../dist/src/diagnosis/diagnosis.contract.js';
import { ChecklistWalk, walkFaults } from '../../dist/src/inspections/inspections.contract.js';
import { holidaysOf } from '../../dist/src/platform/calendar/holidays.js';
import { crewsOf, weighingModel } from './weighing-model.mjs';

const SECONDS = Number(process.argv[2] ?? 8);
const EXPLANATIONS = 40;
const OBSERVATIONS = 80;
const BAR = { probability: 0.8, marginDecibans: 6, surprise: 0.01, worthBits: 0.001 };
const root = fileURLToPath(new URL('../..', import.meta.url));
const io = { out: () => {}, err: () => {}, stdin: () => Promise.resolve(new Uint8Array()) };

let insidePolicy = 0;
const cases = await samples();
const STAGES = {
  'walking the checklist': ({ inputs, claim, unit }) => {
    const walk = new ChecklistWalk(inputs.checklist, claim.inspection.answers, unit);
    walkFaults(walk);
    walk.askedItems();
    walk.observations();
    walk.raisedStops();
    walk.owedPhotos(claim.photos);
  },
  finding: (one) => findings(one.compiled, one.observations, one.bar),
  'next checks': (one) => nextChecks(one.compiled, one.observations, one.bar),
  clocks: (one) => clocksOfClaim(one.claim, one.inputs, false),
};
const WORK = {
  whole: (one) => assess(one.claim, one.inputs),
  // Under a stopwatch around each evaluation; only the time inside is kept.
  policy: (one) => assess(one.claim, one.watched),
  reading: (one) => readClaimFile(one.json),
  printing: (one) => JSON.stringify(one.assessment),
  ...STAGES,
};

const weighing = weighingRates();
sayWeighing(weighing);
measure(1);
insidePolicy = 0;
const { passes, spent, wallSeconds } = measure(SECONDS);
const each = (name) => (spent[name] * 1000) / (passes * cases.length);
const whole = each('whole');
const stages = Object.fromEntries(Object.keys(STAGES).map((name) => [name, each(name)]));
stages.policy = (insidePolicy * 1000) / (passes * cases.length);
stages['remedy, shares and the rest'] = whole - Object.values(stages).reduce((a, b) => a + b, 0);
const ofWhole = (microseconds) => Number((microseconds / whole).toFixed(3));
const perSecond = Math.round(1e6 / whole);
const onTheWall = Math.round((passes * cases.length) / wallSeconds.whole);

const rows = Object.entries(stages).sort((a, b) => b[1] - a[1]);
console.log(`${cases.length} sample claims, ${passes} times each, on one thread`);
console.log(
  `${perSecond} assessments per second of the thread (${onTheWall} by the wall), ${whole.toFixed(0)} µs each, of which`,
);
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
      assessmentsPerSecondOnTheWall: onTheWall,
      microsecondsEach: Math.round(whole),
      claims: cases.length,
      passes,
      readingMicroseconds: Math.round(each('reading')),
      printingMicroseconds: Math.round(each('printing')),
      findingsWithNextCheckPerSecond: weighing.mean,
      findingsWithNextCheckPerSecondAtWorst: weighing.worst,
    },
  }),
);

/** Processor time of this thread in milliseconds. */
function threadTime() {
  const { user, system } = process.threadCpuUsage();
  return (user + system) / 1000;
}

/** Findings with the next best check over everything still open, by how much has been checked. */
function weighingRates() {
  const model = weighingModel(EXPLANATIONS, OBSERVATIONS);
  const compiled = compileModel(model);
  const crews = crewsOf(model);
  const bands = [
    [1, 10],
    [11, 20],
    [21, 40],
    [41, 60],
    [61, OBSERVATIONS],
  ].map(([from, to]) => ({ from, to, perSecond: rateOf(compiled, crews.slice(from - 1, to)) }));
  const mean = Math.round(rateOf(compiled, crews));
  return { bands, mean, worst: Math.round(Math.min(...bands.map(({ perSecond }) => perSecond))) };
}

function rateOf(compiled, crews) {
  const run = (milliseconds) => {
    const start = threadTime();
    let done = 0;
    for (; threadTime() - start < milliseconds; done += crews.length) {
      for (const crew of crews) {
        findings(compiled, crew, BAR);
        nextChecks(compiled, crew, BAR);
      }
    }
    return (done * 1000) / (threadTime() - start);
  };
  run(200);
  return run(SECONDS * 75);
}

function sayWeighing({ bands, mean }) {
  const size = `${EXPLANATIONS} explanations × ${OBSERVATIONS} observations`;
  console.log(`${mean} findings with next best check per second of the thread, ${size}, by checks made`);
  for (const { from, to, perSecond } of bands) {
    console.log(`  ${`${from} to ${to}`.padStart(8)}  ${Math.round(perSecond).toString().padStart(6)} per second`);
  }
}

/** Does every kind of work over all claims in turn, so that a slow moment of the machine slows all of them alike. */
function measure(seconds) {
  const spent = Object.fromEntries(Object.keys(WORK).map((name) => [name, 0]));
  const wallSeconds = { whole: 0 };
  const end = performance.now() + seconds * 1000;
  let passes = 0;
  for (; performance.now() < end; passes += 1) {
    for (const [name, work] of Object.entries(WORK)) {
      const [start, wall] = [threadTime(), performance.now()];
      for (const one of cases) work(one);
      spent[name] += threadTime() - start;
      if (name === 'whole') wallSeconds.whole += (performance.now() - wall) / 1000;
    }
  }
  return { passes, spent, wallSeconds };
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
  const compiled = compileModel(inputs.evidenceModel);
  const observations = new ChecklistWalk(inputs.checklist, claim.inspection.answers, unit).observations();
  const outcome = assess(claim, inputs);
  if (!outcome.ok) throw new Error(`${name}: ${JSON.stringify(outcome.faults)}`);
  const assessment = outcome.value;
  const watched = { ...inputs, policy: watchedPolicy(policy) };
  return { name, json, claim, inputs, watched, unit, bar, compiled, observations, assessment };
}

/** The policy with a stopwatch around the reading of facts and each evaluation. */
function watchedPolicy(policy) {
  const timed = (work) => {
    const start = performance.now();
    const result = work();
    insidePolicy += performance.now() - start;
    return result;
  };
  const watchedCase = (known) => ({
    with: (facts) => watchedCase(timed(() => known.with(facts))),
    evaluate: (decisions) => timed(() => known.evaluate(decisions)),
  });
  return {
    document: policy.document,
    hash: policy.hash,
    parameter: (name, on) => policy.parameter(name, on),
    evaluate: (...args) => timed(() => policy.evaluate(...args)),
    caseOf: (on, facts) => watchedCase(timed(() => policy.caseOf(on, facts))),
  };
}
