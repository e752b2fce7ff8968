// Claims per second and peak memory of a rehearsal over 10 000, 100 000 and 1 000 000 past claims (or the counts given), by the processes that
// the service itself starts, one for each core. Time grows with the claims and memory does not: the ratios say how far that holds.
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import path from 'node:path';
import { RehearsalCrew } from '../../dist/src/claims/rehearsal/rehearsal-crew.js';
import { RehearsalTotals } from '../../dist/src/claims/domain/rehearsal-totals.js';
import { APP_ROLE, underRole } from '../../dist/src/platform/db/data-source.js';
import { openStage } from './rehearsal-scene.mjs';

const SIZES = process.argv.length > 2 ? process.argv.slice(2).map(Number) : [10_000, 100_000, 1_000_000];
const folder = mkdtempSync(path.join(tmpdir(), 'as-noted-bench-rehearsal-'));
const stage = await openStage(folder);
try {
  const runs = [];
  // The first run of a fresh server warms nothing that is measured later; it is thrown away.
  await stage.fill(2_000);
  await measure(2_000);
  for (const size of SIZES) {
    await stage.fill(size);
    runs.push(await measure(size));
    const { claims, seconds, perSecond, changed, peakMegabytes, processorSeconds } = runs.at(-1);
    console.log(
      `${String(claims).padStart(8)} claims in ${seconds.toFixed(1)} s: ${perSecond} a second, ${processorSeconds.toFixed(1)} s of processors besides the database, ${changed} come out otherwise, peak ${peakMegabytes} MB in a process`,
    );
  }
  const [first, last] = [runs[0], runs.at(-1)];
  const timePerClaim = last.seconds / last.claims / (first.seconds / first.claims);
  const memory = last.peakMegabytes / first.peakMegabytes;
  console.log(
    JSON.stringify({
      bench: 'rehearsal',
      ratios: { 'time per claim, most to fewest': round(timePerClaim), 'peak memory, most to fewest': round(memory) },
      detail: { processes: availableParallelism(), runs },
    }),
  );
} finally {
  await stage.close();
  rmSync(folder, { recursive: true, force: true });
}

/** A draft that changes one remedy and one amount, over everything that is there. */
async function measure(claims) {
  const rehearsal = await stage.rehearse(draft());
  const crew = new RehearsalCrew();
  const order = { tenant: stage.tenant, rehearsal };
  const start = performance.now();
  const ends = await crew.work({ url: underRole(stage.url, APP_ROLE), order });
  const seconds = (performance.now() - start) / 1000;
  const failed = ends.find((end) => !end.ok);
  if (failed) throw new Error(failed.problem);
  const { rows } = await stage.owner.query('select totals from rehearsal_batch order by n');
  const totals = new RehearsalTotals();
  for (const row of rows) totals.merge(row.totals);
  const found = totals.toJSON();
  if (found.claims !== claims) throw new Error(`${found.claims} claims were gone through, not ${claims}`);
  return {
    claims,
    seconds: round(seconds),
    perSecond: Math.round(claims / seconds),
    processorSeconds: round(ends.reduce((sum, end) => sum + end.processorSeconds, 0)),
    changed: found.changed,
    peakMegabytes: Math.round(Math.max(...ends.map((end) => end.peakBytes)) / 1_048_576),
  };
}

/** A draft with another allowance and less for restocking. */
function draft() {
  const document = structuredClone(stage.policy.document);
  document.version = 2;
  const rules = (id) => document.decisions.find((decision) => decision.id === id).table.rules;
  const rule = (id) => rules('terms').find((one) => one.id === id);
  rule('TRM-US-41').then['allowance percent'] = '12.5';
  rule('TRM-US-10').then['restocking percent'] = '12';
  return document;
}

function round(number) {
  return Number(number.toFixed(3));
}
