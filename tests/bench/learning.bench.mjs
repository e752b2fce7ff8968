// Learning over a million decided claims: claims per second, and how much memory is held while they stream by. Claims are drawn from a
// shipped model with a fixed seed, so every run learns the same; making them is measured apart and taken off. With a FILE argument the
// lessons are written there first and read back as JSON Lines, as the command line reads them.
import { createWriteStream } from 'node:fs';
import { once } from 'node:events';
import { learnModel, readLesson } from '../../dist/src/diagnosis/learning.contract.js';
import { checkEvidenceModel, likelihood } from '../../dist/src/diagnosis/diagnosis.contract.js';
import { shippedDocument } from '../../dist/src/platform/files/shipped-documents.js';
import { readJsonLines } from '../../dist/src/cli/json-lines.js';

const CLAIMS = Number(process.argv[2] ?? 1_000_000);
const FILE = process.argv[3];
const CHECKED = 20;
const STRENGTH = { priorClaims: 100, likelihoodClaims: 50, statedOn: '2026-04-01' };
const io = { out: () => {}, err: () => {}, stdin: () => Promise.resolve(new Uint8Array()) };

const checked = checkEvidenceModel(shippedDocument('evidence-model', 'bed-base/1').json);
if (!checked.ok) throw new Error(JSON.stringify(checked.faults));
const model = checked.value;

// Once in small, so that the engine has compiled both.
await learnModel(model, drawn(20_000), STRENGTH);

const making = await timed(async () => {
  let n = 0;
  for (const lesson of drawn(CLAIMS)) n += lesson.present.length;
  return n;
});
const heap = watchHeap();
const learning = await timed(() => learnModel(model, streamed(drawn(CLAIMS)), STRENGTH));
const heldMb = heap.most() / 2 ** 20;
if (!learning.value.ok) throw new Error(JSON.stringify(learning.value.faults));
const { tally, changes } = learning.value.value;
const seconds = learning.seconds;
const net = Math.max(0.001, seconds - making.seconds);
const small = watchHeap();
await learnModel(model, streamed(drawn(CLAIMS / 10)), STRENGTH);
const heldSmallMb = small.most() / 2 ** 20;

const perClaim = (making.value / CLAIMS).toFixed(1);
console.log(
  `${tally.used} decided claims with ${CHECKED} observations checked (${perClaim} present), ${changes.length} numbers learnt`,
);
console.log(`${seconds.toFixed(1)} s in all, ${making.seconds.toFixed(1)} s of it to make the claims up`);
console.log(`${Math.round(CLAIMS / net)} claims per second; ${Math.round(CLAIMS / seconds)} with making them up`);
console.log(`heap at most ${heldMb.toFixed(0)} MB, over a tenth of the claims ${heldSmallMb.toFixed(0)} MB`);

const file = FILE === undefined ? undefined : await fromFile(FILE);
const rss = process.resourceUsage().maxRSS / 1024;
console.log(`peak memory of the process ${rss.toFixed(0)} MB`);
console.log(
  JSON.stringify({
    bench: 'learning',
    ratios: { heapOfAllToATenth: Number((heldMb / heldSmallMb).toFixed(2)) },
    detail: {
      claims: tally.used,
      seconds: Number(seconds.toFixed(2)),
      claimsPerSecond: Math.round(CLAIMS / net),
      heapMb: Math.round(heldMb),
      peakRssMb: Math.round(rss),
      ...file,
    },
  }),
);

/** Writes the lessons as JSON Lines, then learns from the file. */
async function fromFile(path) {
  const out = createWriteStream(path);
  for (const lesson of drawn(CLAIMS)) {
    if (!out.write(`${JSON.stringify(lesson)}\n`)) await once(out, 'drain');
  }
  out.end();
  await once(out, 'finish');
  const read = await timed(() => learnModel(model, readJsonLines(path, readLesson, io), STRENGTH));
  console.log(`${read.seconds.toFixed(1)} s from the file, ${Math.round(CLAIMS / read.seconds)} claims per second`);
  return { fileSeconds: Number(read.seconds.toFixed(2)), fileClaimsPerSecond: Math.round(CLAIMS / read.seconds) };
}

async function timed(work) {
  const start = performance.now();
  const value = await work();
  return { value, seconds: (performance.now() - start) / 1000 };
}

/** The most of the heap in use, seen ten times a second and at the end. */
function watchHeap() {
  globalThis.gc?.();
  let most = 0;
  const look = () => (most = Math.max(most, process.memoryUsage().heapUsed));
  const timer = setInterval(look, 100);
  return {
    most: () => {
      clearInterval(timer);
      look();
      return most;
    },
  };
}

/** As a database page or a file would hand them over. Gives the event loop a turn now and then. */
async function* streamed(lessons) {
  let n = 0;
  for (const lesson of lessons) {
    if ((n += 1) % 10_000 === 0) await new Promise((resolve) => setImmediate(resolve));
    yield lesson;
  }
}

/** Claims about the drive, each with a run of its observations checked, drawn as the model says they come. */
function* drawn(count) {
  const explanations = model.explanations.filter((one) => one.subject === 'drive');
  const observations = model.observations.filter((one) => 'drive' in one.otherwise);
  const chances = explanations.map((one) => observations.map((each) => likelihood(each, one)));
  const weights = explanations.reduce((sum, one) => sum + one.prior, 0);
  const next = seeded(42);
  for (let n = 0; n < count; n += 1) {
    let rest = next() * weights;
    let e = 0;
    while (e < explanations.length - 1 && rest >= explanations[e].prior) {
      rest -= explanations[e].prior;
      e += 1;
    }
    const from = Math.floor(next() * observations.length);
    const [present, absent] = [[], []];
    for (let i = 0; i < CHECKED; i += 1) {
      const o = (from + i) % observations.length;
      (next() < chances[e][o] ? present : absent).push(observations[o].id);
    }
    yield {
      format: 'lesson/1',
      claim: String(n),
      model: model.id,
      decidedOn: '2026-03-31',
      present,
      absent,
      explanations: { drive: explanations[e].id },
      named: false,
    };
  }
}

/** Linear congruential numbers in [0, 1), constants of Numerical Recipes. */
function seeded(seed) {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 4_294_967_296;
  };
}
