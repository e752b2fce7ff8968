// Four chained tables over random claims, run by our policies with and without their trace, by generated ifs, by feelin and by
// json-rules-engine; then all hits of one large table against our own scan of rows, and how long a policy takes to compile. Every
// answer that is timed is compared with ours. Times are of this thread's processor, so that a busy machine does not pass for a slow
// program; ratios travel between machines.
import { existsSync } from 'node:fs';
import { compilePolicy } from '../../dist/src/policies/policies.contract.js';
import { compileDecisions } from '../../dist/src/policies/domain/compile-decisions.js';
import { EvaluationRun } from '../../dist/src/policies/domain/evaluation-run.js';
import { ReadyDecisions } from '../../dist/src/policies/domain/ready-decisions.js';
import { candidatesByRow, columnValues } from '../../dist/src/policies/domain/run-table.js';
import { Day } from '../../dist/src/policies/domain/values.js';
import { byFeelin, byJsonRules, generatedIfs } from './policy-rivals.mjs';
import { allHitsPolicy, chainedPolicy, drawClaims } from './policy-tables.mjs';

const CLAIMS = Number(process.argv[2] ?? 100_000);
const ON = '2026-03-01';
const ROUNDS = 5;

const document = chainedPolicy();
const compiling = compileTimes(document);
const outcome = compilePolicy(document);
if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
const { policy } = outcome;
const claims = drawClaims(CLAIMS);
const ifs = generatedIfs(document);
const feelin = byFeelin(document);
const jsonRules = byJsonRules(document);
const someClaims = claims.slice(0, Math.min(CLAIMS, 500));
const fewClaims = claims.slice(0, Math.min(CLAIMS, 100));

await compareAnswers();
const rates = await chainedRates();
const hits = Object.fromEntries([40, 400, 2_000].map((rules) => [rules, allHits(rules)]));
report();
const analysis = new URL('policy-analysis.mjs', import.meta.url);
const measured = existsSync(analysis)
  ? await (await import(analysis.href)).measureAnalysis()
  : { ratios: {}, detail: {} };
console.log(JSON.stringify(result()));

/** Milliseconds of this thread's processor time. */
function threadTime() {
  const { user, system } = process.threadCpuUsage();
  return (user + system) / 1000;
}

function compileTimes(source) {
  const times = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const start = threadTime();
    const compiled = compilePolicy(source);
    const parsed = threadTime();
    if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
    // The indexes of the tables are made when the first claim asks for them.
    compiled.policy.decide(ON, drawClaims(1)[0]);
    times.push([parsed - start, threadTime() - parsed]);
  }
  const cells = source.decisions.flatMap(({ table }) => table.rules.flatMap(({ when }) => Object.keys(when))).length;
  return { cells, first: times[0], warm: times.at(-1) };
}

/** Stops the benchmark where anybody answers otherwise than we do, on any claim that is timed. */
async function compareAnswers() {
  const tell = (who, claim, got, ours) => {
    throw new Error(
      `${who} differs on ${JSON.stringify(claim)}: ${JSON.stringify(got)} against ours ${JSON.stringify(ours)}`,
    );
  };
  const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
  for (const claim of claims) {
    const { outcomes } = policy.decide(ON, claim);
    const traced = policy.evaluate(ON, claim, undefined, { trace: true });
    if (!same(ifs(claim), outcomes)) tell('generated code', claim, ifs(claim), outcomes);
    if (!same(traced.outcomes, outcomes)) tell('the trace', claim, traced.outcomes, outcomes);
  }
  for (const claim of someClaims) {
    const { outcomes } = policy.decide(ON, claim);
    if (!same(feelin(claim), outcomes)) tell('feelin', claim, feelin(claim), outcomes);
  }
  for (const claim of fewClaims) {
    const { outcomes } = policy.decide(ON, claim);
    const got = await jsonRules(claim);
    if (!same(got, outcomes)) tell('json-rules-engine', claim, got, outcomes);
  }
}

/** Claims per second of each, in turn, so that a slow moment slows all alike; the median of the rounds. */
async function chainedRates() {
  const contestants = {
    'generated ifs': { over: claims, work: (claim) => ifs(claim) },
    'our policy': { over: claims, work: (claim) => policy.decide(ON, claim) },
    'our policy with its reasons': { over: claims, work: (claim) => policy.evaluate(ON, claim) },
    'our policy with the whole trace': {
      over: claims,
      work: (claim) => policy.evaluate(ON, claim, undefined, { trace: true }),
    },
    'feelin, cells parsed once': { over: someClaims, work: (claim) => feelin(claim) },
    'json-rules-engine': { over: fewClaims, work: (claim) => jsonRules(claim), awaits: true },
  };
  const found = Object.fromEntries(Object.keys(contestants).map((name) => [name, []]));
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const [name, { over, work, awaits }] of Object.entries(contestants)) {
      let kept = 0;
      const start = threadTime();
      if (awaits) for (const claim of over) kept += (await work(claim)) ? 1 : 0;
      else for (const claim of over) kept += work(claim) ? 1 : 0;
      found[name].push((kept * 1000) / (threadTime() - start));
    }
  }
  return Object.fromEntries(Object.entries(found).map(([name, all]) => [name, median(all)]));
}

function median(values) {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)];
}

/** Every rule that holds, by index and row by row, over the same claims. */
function allHits(rules) {
  const source = allHitsPolicy(rules);
  const faults = [];
  const ready = new ReadyDecisions(source, compileDecisions(source, faults));
  if (faults.length > 0) throw new Error(JSON.stringify(faults));
  const day = Day.parse(ON);
  const { table: of } = ready.all[0];
  const over = claims.slice(0, Math.min(CLAIMS, Math.ceil(800_000 / rules)));
  const byIndex = (claim) => of.on(day).allCandidates(new EvaluationRun(ready, day, ready.facts.read(claim)));
  const byRow = (claim) => {
    const run = new EvaluationRun(ready, day, ready.facts.read(claim));
    return candidatesByRow(of.table, run.lookup, columnValues(of.table, run.lookup), () => undefined);
  };
  for (const claim of over) {
    const [one, other] = [byIndex(claim), byRow(claim)];
    if (JSON.stringify(one) !== JSON.stringify(other))
      throw new Error(`index and rows differ on ${JSON.stringify(claim)}`);
  }
  const times = { byIndex: [], byRow: [] };
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const [name, work] of Object.entries({ byIndex, byRow })) {
      let kept = 0;
      const start = threadTime();
      for (const claim of over) kept += work(claim).length;
      times[name].push(threadTime() - start);
      if (kept === 0) throw new Error('no rule holds for any claim');
    }
  }
  return {
    ratio: median(times.byRow) / median(times.byIndex),
    perSecond: (over.length * 1000) / median(times.byIndex),
  };
}

function ratioOf(one, other) {
  return Number((rates[one] / rates[other]).toPrecision(3));
}

function report() {
  const ceiling = rates['generated ifs'];
  console.log(
    `${CLAIMS} claims, four chained tables of ${compiling.cells} cells, median of ${ROUNDS}; all answers compared`,
  );
  for (const [name, rate] of Object.entries(rates)) {
    console.log(
      `  ${Math.round(rate).toString().padStart(9)} per second  1/${(ceiling / rate).toFixed(1).padEnd(7)} ${name}`,
    );
  }
  console.log('all hits of one table of eight columns, by index against row by row');
  for (const [rules, { ratio, perSecond }] of Object.entries(hits)) {
    console.log(`  ${rules.padStart(5)} rules: ${ratio.toFixed(1)} times as fast, ${Math.round(perSecond)} per second`);
  }
  const [first, warm] = [compiling.first, compiling.warm].map((both) => both.map((time) => time.toFixed(0)));
  console.log(
    `compiling ${compiling.cells} cells: ${first[0]} ms and ${first[1]} ms for the indexes, warm ${warm[0]} and ${warm[1]} ms`,
  );
}

function result() {
  return {
    bench: 'policy',
    ratios: {
      'ours / generated ifs': ratioOf('our policy', 'generated ifs'),
      'with the whole trace / generated ifs': ratioOf('our policy with the whole trace', 'generated ifs'),
      'ours / feelin parsed once': ratioOf('our policy', 'feelin, cells parsed once'),
      'ours / json-rules-engine': ratioOf('our policy', 'json-rules-engine'),
      'all hits of 400 rules / row by row': Number(hits[400].ratio.toPrecision(3)),
      '40 rules / 2000 rules, all hits': Number((hits[40].perSecond / hits[2_000].perSecond).toPrecision(3)),
      ...measured.ratios,
    },
    detail: {
      claims: CLAIMS,
      perSecond: Object.fromEntries(Object.entries(rates).map(([name, rate]) => [name, Math.round(rate)])),
      cells: compiling.cells,
      compileMilliseconds: Math.round(compiling.first[0] + compiling.first[1]),
      ...measured.detail,
    },
  };
}
