// The search for photos seen before, among ten million generated fingerprints, in the process that the service uses: time of a search for one
// photo (eight turns and the picture inside, every fingerprint compared), time to fill the index, memory of that process; and against the
// same comparison written in plain JavaScript over typed arrays, one question at a time, on a tenth of them.
// By itself: node tests/bench/photos-reuse.mjs [MILLIONS] [SEARCHES]. Prints one line of JSON.
import { randomFillSync } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { ReuseProcess } from '../../dist/src/evidence/imaging/reuse-process.js';

const BYTES = 32;
const RUN = 50_000;
const TENANT = 'generated';

/**
 * @param {{fingerprints: number, searches: number}} size
 * @returns {Promise<object>} milliseconds, megabytes, and how much faster than plain JavaScript
 */
export async function measureReuseSearch({ fingerprints, searches }) {
  const comparer = new ReuseProcess();
  try {
    const numbers = Array.from({ length: RUN }, (_each, n) => n + 1);
    const kept = [];
    await comparer.ask('standing', { tenant: TENANT });
    const emptyMb = memoryOf(comparer.pid);
    const from = performance.now();
    let generating = 0;
    for (let first = 0; first < fingerprints; first += RUN) {
      const began = performance.now();
      const run = randomFillSync(new Uint8Array(RUN * BYTES));
      generating += performance.now() - began;
      kept.push(run.slice(0, BYTES));
      await comparer.ask('add', { tenant: TENANT, numbers: numbers.map((no) => no + first), fingerprints: run });
    }
    const fillMs = performance.now() - from - generating;
    const times = [];
    for (let n = 0; n < searches; n += 1) {
      // Another bit flipped in each byte but the last two: 30 bits away, and to be found exactly there.
      const wanted = kept[n % kept.length].map((byte, at) => (at < 30 ? byte ^ (1 << (n % 8)) : byte));
      const queries = Array.from({ length: 9 }, () => randomFillSync(new Uint8Array(BYTES)));
      queries[n % 9] = wanted;
      const began = performance.now();
      const [nearest] = await comparer.ask('search', { tenant: TENANT, queries, limit: 90, most: 2000 });
      times.push(performance.now() - began);
      if (nearest?.distance !== 30 || nearest.no !== (n % kept.length) * RUN + 1) throw new Error('not found');
    }
    const sorted = times.toSorted((a, b) => a - b);
    const p50Ms = sorted[Math.floor(sorted.length * 0.5)];
    const plainMs = plainScan(fingerprints / 10) * 10 * 9;
    return {
      fingerprints,
      searches,
      p50Ms: round(p50Ms),
      p95Ms: round(sorted[Math.floor(sorted.length * 0.95)]),
      fillSeconds: round(fillMs / 1000),
      memoryMb: memoryOf(comparer.pid) - emptyMb,
      plainJavaScriptMs: round(plainMs),
      ofPlainJavaScript: round(plainMs / p50Ms),
    };
  } finally {
    await comparer.close();
  }
}

/** One question over so many fingerprints, in JavaScript; milliseconds, the better of three. */
function plainScan(count) {
  const words = new Uint32Array(randomFillSync(new Uint8Array(count * BYTES)).buffer);
  const query = words.slice(0, 8);
  const bitsOf = (word) => {
    let bits = word - ((word >>> 1) & 0x55555555);
    bits = (bits & 0x33333333) + ((bits >>> 2) & 0x33333333);
    return Math.imul((bits + (bits >>> 4)) & 0x0f0f0f0f, 0x01010101) >>> 24;
  };
  let best = Infinity;
  for (let turn = 0; turn < 3; turn += 1) {
    const from = performance.now();
    let found = 0;
    for (let at = 0; at < words.length; at += 8) {
      let bits = 0;
      for (let word = 0; word < 8; word += 1) bits += bitsOf(words[at + word] ^ query[word]);
      if (bits <= 90) found += 1;
    }
    if (found < 1) throw new Error('it did not find itself');
    best = Math.min(best, performance.now() - from);
  }
  return best;
}

/** Resident memory in megabytes; 0 where the system does not tell. */
function memoryOf(pid) {
  try {
    const [, kilobytes] = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8')) ?? [];
    return Math.round(Number(kilobytes ?? 0) / 1024);
  } catch {
    return 0;
  }
}

function round(value) {
  return Math.round(value * 100) / 100;
}

if (process.argv[1] === import.meta.filename) {
  const [millions = '10', searches = '100'] = process.argv.slice(2);
  const size = { fingerprints: Number(millions) * 1_000_000, searches: Number(searches) };
  console.log(JSON.stringify(await measureReuseSearch(size)));
}
