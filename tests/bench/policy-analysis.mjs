// The analysis of large tables: 1,500 rules over 5 columns, cut from a partition, with one column of every tenth rule enlarged or shrunk
// (as in Calvanese et al., "Semantics, Analysis and Simplification of DMN Decision Tables"), and the exact difference of two versions of
// a table of 40 rules over 8 columns. Times are of this thread's processor. What the difference says is compared with running both
// versions on random claims.
/* oxlint-disable unicorn/no-thenable -- `then` is a key of the document format; rules are never awaited. */
import { changeTest, comparePolicies, analysePolicy } from '../../dist/src/policies/analysis.contract.js';
import { compilePolicy } from '../../dist/src/policies/policies.contract.js';
import { Budget, uncovered, widened } from '../../dist/src/policies/domain/analysis/cover.js';
import { ruleBoxes } from '../../dist/src/policies/domain/analysis/outcome-table.js';
import { overlaps } from '../../dist/src/policies/domain/analysis/overlap.js';
import { policySpaces } from '../../dist/src/policies/domain/analysis/policy-spaces.js';
import { maskedRules } from '../../dist/src/policies/domain/analysis/rule-checks.js';
import { tableSource } from '../../dist/src/policies/domain/analysis/table-source.js';

const ON = '2026-03-01';
const ROUNDS = 3;
const TOP = 100_000;
const GRADES = ['A', 'B', 'C', 'D', 'E', 'F', 'G'];
const ANSWERS = ['P', 'Q', 'R', 'S', 'T'];

/** Measures and prints; the seconds of the slowest table and how far below the bars of one and three seconds they are. */
export function measureAnalysis() {
  const large = ['enlarged', 'shrunk'].map((change) => `1500 x 5, ${change}`);
  const detail = {
    [large[0]]: analysed(largeTable(1_500, 'enlarged')),
    [large[1]]: analysed(largeTable(1_500, 'shrunk')),
  };
  detail['40 x 8, difference'] = difference();
  for (const [name, figures] of Object.entries(detail)) console.log(`${name}: ${JSON.stringify(figures)}`);
  const slowest = (part) => Math.max(...large.map((name) => detail[name][`${part} s`]));
  return {
    ratios: {
      'gaps of 1500 x 5, bar of 1 s ÷ time': round(1 / slowest('gaps')),
      'overlaps of 1500 x 5, bar of 1 s ÷ time': round(1 / slowest('overlaps')),
      'masked rules of 1500 x 5, bar of 1 s ÷ time': round(1 / slowest('masked')),
      'difference of 40 x 8, bar of 3 s ÷ time': round(3 / detail['40 x 8, difference'].s),
    },
    detail,
  };
}

function round(value) {
  return Math.round(value * 100) / 100;
}

function drawer(seed) {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 4_294_967_296;
  };
}

function documentOf(facts, table) {
  return {
    format: 'policy/1',
    id: 'large-table',
    title: 'A large table',
    jurisdiction: 'US',
    caution: 'For measuring only.',
    governedBy: 'delivered on',
    zone: 'America/New_York',
    money: { currency: 'USD', scale: 2, rounding: 'half up' },
    facts: { 'delivered on': { type: 'date' }, ...facts },
    parameters: {},
    decisions: [{ id: 'answer', gives: { answer: { type: 'enum', values: ANSWERS } }, table }],
    examples: [],
  };
}

/** Rules cut from a partition of four numbers and a grade; in every tenth one column is enlarged or shrunk. */
function largeTable(rules, change) {
  const random = drawer(rules + change.length);
  const names = ['amount', 'income', 'term', 'ratio'];
  const boxes = [{ grades: [...GRADES], ends: names.map(() => [0, TOP]) }];
  while (boxes.length < rules) {
    const box = boxes[Math.floor(random() * boxes.length)];
    const axis = Math.floor(random() * 5);
    if (axis === 4) {
      if (box.grades.length < 2) continue;
      const at = 1 + Math.floor(random() * (box.grades.length - 1));
      boxes.push({ grades: box.grades.splice(at), ends: box.ends.map((each) => [...each]) });
      continue;
    }
    const [low, high] = box.ends[axis];
    if (high - low < 10) continue;
    const cut = low + Math.floor((0.2 + 0.6 * random()) * (high - low));
    const ends = box.ends.map((each) => [...each]);
    ends[axis][0] = cut + 1;
    box.ends[axis][1] = cut;
    boxes.push({ grades: [...box.grades], ends });
  }
  for (const box of boxes.filter(() => random() < 0.1)) {
    const [low, high] = box.ends[Math.floor(random() * 4)].map((end) => end);
    const axis = box.ends.findIndex(([from, to]) => from === low && to === high);
    const by = 1 + Math.floor(((high - low) / 2) * random());
    box.ends[axis] =
      change === 'enlarged' ? [Math.max(0, low - by), Math.min(TOP, high + by)] : [low, Math.max(low, high - by)];
  }
  const shuffled = boxes.map((box) => [random(), box]).toSorted(([a], [b]) => a - b);
  const facts = Object.fromEntries(names.map((name) => [name, { type: 'integer', min: 0, max: TOP }]));
  return documentOf(
    { ...facts, grade: { type: 'enum', values: GRADES } },
    {
      hit: 'first',
      columns: Object.fromEntries([...names, 'grade'].map((name) => [name, name])),
      rules: shuffled.map(([, { grades, ends }], place) => ({
        id: `R${place + 1}`,
        when: {
          ...Object.fromEntries(ends.map(([low, high], axis) => [names[axis], `[${low}..${high}]`])),
          grade: grades.map((grade) => `"${grade}"`).join(', '),
        },
        then: { answer: ANSWERS[place % 5] },
      })),
    },
  );
}

function compiled(document) {
  const outcome = compilePolicy(document);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.policy;
}

/** The middle of some runs, in seconds of this thread, and what the last one gave. */
function timed(work) {
  const times = [];
  let result;
  for (let turn = 0; turn < ROUNDS; turn += 1) {
    const start = process.threadCpuUsage();
    result = work();
    const { user, system } = process.threadCpuUsage(start);
    times.push((user + system) / 1_000_000);
  }
  return { s: Math.round(times.toSorted((a, b) => a - b)[1] * 1000) / 1000, result };
}

function analysed(document) {
  const policy = compiled(document);
  const space = policySpaces(document, tableSource(document), {}, ON).get('answer');
  const { geometry, domain } = space;
  const rules = ruleBoxes(geometry);
  const gaps = timed(() => {
    const free = uncovered(geometry.space, domain, rules, new Budget(5_000_000)).boxes;
    return { cut: free.length, said: widened(geometry.space, free, rules, domain).length };
  });
  const pairs = timed(() => overlaps(geometry.space, rules, 1_000_000).pairs.length);
  const masked = timed(() => maskedRules(geometry, new Budget(5_000_000)).length);
  const whole = timed(() => analysePolicy(policy).findings.length);
  return {
    'gaps s': gaps.s,
    gaps: gaps.result,
    'overlaps s': pairs.s,
    overlaps: pairs.result,
    'masked s': masked.s,
    masked: masked.result,
    'whole analysis s': whole.s,
    findings: whole.result,
  };
}

/** Three edits to a random table: a cell narrowed, an outcome changed, two rows exchanged. */
function difference() {
  const random = drawer(40);
  const names = Array.from({ length: 8 }, (_, place) => `fact ${'abcdefgh'[place]}`);
  const facts = Object.fromEntries(
    names.map((name, place) => [
      name,
      place < 4 ? { type: 'integer', min: 0, max: 99 } : { type: 'enum', values: GRADES },
    ]),
  );
  const rules = Array.from({ length: 40 }, (_, place) => {
    const when = {};
    for (const [axis, name] of names.entries()) {
      if (random() < 0.5) continue;
      const low = Math.floor(random() * 60);
      const some = GRADES.filter(() => random() < 0.5).map((grade) => `"${grade}"`);
      when[name] = axis < 4 ? `[${low}..${low + 5 + Math.floor(random() * 35)}]` : some.join(', ') || '"A"';
    }
    return { id: `R${place + 1}`, when, then: { answer: ANSWERS[place % 5] } };
  });
  const table = {
    hit: 'first',
    columns: Object.fromEntries(names.map((name) => [name, name])),
    otherwise: { answer: 'P' },
  };
  const edited = rules.map((rule) => structuredClone(rule));
  const narrowed = edited.find(({ when }) => when['fact a'] !== undefined);
  narrowed.when['fact a'] = narrowed.when['fact a'].replace('[', '(');
  edited[10].then = { answer: 'T' };
  [edited[20], edited[21]] = [edited[21], edited[20]];
  const [was, becomes] = [rules, edited].map((all) => compiled(documentOf(facts, { ...table, rules: all })));
  const { s, result } = timed(() => comparePolicies(was, becomes));
  if (result.incomplete.length > 0) throw new Error(result.sentences.join(' '));
  const tests = result.changes.map((change) => changeTest(was, becomes, change));
  let changed = 0;
  for (let claim = 0; claim < 20_000; claim += 1) {
    const given = Object.fromEntries(
      names.map((name, axis) => [name, axis < 4 ? Math.floor(random() * 100) : GRADES[Math.floor(random() * 7)]]),
    );
    const differs = was.decide(ON, given).outcomes.answer !== becomes.decide(ON, given).outcomes.answer;
    if (differs) changed += 1;
    // Every claim that differs lies in one region; that others lie in none is looked at for a tenth of them.
    if (!differs && claim % 10 > 0) continue;
    const inside = tests.filter((test) => test(ON, given)).length;
    if (inside !== (differs ? 1 : 0)) throw new Error(`the difference is wrong for ${JSON.stringify(given)}`);
  }
  return { s, regions: result.changes.length, 'claims of 20000 that differ': changed };
}
