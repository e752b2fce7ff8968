// Photos: npm run bench -- photos.
// 1. The whole intake of one photo (hash, metadata, three renditions, quality, compression, fingerprint) against bare sharp that makes the
//    same three WebP under the same settings, decoding once ('cascade', the better way) or three times ('straight', the usual way); and
//    the same with a glance for codes. By CPU time in processes of their own, best of several; photos of 12 and 48 megapixels, in Display
//    P3 as phones write them and in sRGB.
// 2. 64 photos of 12 megapixels sent at once to the service with its jobs, and the look-up of a claim's standing meanwhile against the
//    same look-up in quiet; memory of the service and its readers together. The client sends from a process of its own.
// 3. Photos seen before, searched for among ten million generated fingerprints, against the same in plain JavaScript.
// Arguments: times (default 5). Prints peak memory per photo.
import { fork, spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { ask, get } from './http-load.mjs';
import { openScene } from './http-scene.mjs';
import { phonePhoto } from './photos-picture.mjs';
import { measureReuseSearch } from './photos-reuse.mjs';
import { crewLink, memoryOf, startService } from './photos-scene.mjs';

const TIMES = Number(process.argv[2] ?? 5);
const UPLOADS = 64;
const QUIET_LOOKUPS = 400;
const TARGETS = { intake: 0.7, lookup: 3, memoryMb: 1500 };
const here = (name) => fileURLToPath(new URL(name, import.meta.url));

const folder = mkdtempSync(path.join(tmpdir(), 'as-noted-photos-bench-'));
chmodSync(folder, 0o711); // under root the database's account passes through
try {
  const intake = await measureIntake();
  const crowd = await measureCrowd();
  const reuse = await measureReuseSearch({ fingerprints: 10_000_000, searches: 100 });
  console.log(
    `${reuse.fingerprints} fingerprints: a photo is searched for in ${reuse.p50Ms} ms, p95 ${reuse.p95Ms} ms, all compared; ` +
      `filled in ${reuse.fillSeconds} s, ${reuse.memoryMb} MB; plain JavaScript ${reuse.plainJavaScriptMs} ms`,
  );
  const ratios = {
    ...Object.fromEntries(Object.entries(intake).map(([name, { ofCascade }]) => [`intake ${name}`, ofCascade])),
    lookupUnderUploads: crowd.ratio,
    reuseOfPlainJavaScript: reuse.ofPlainJavaScript,
  };
  const detail = {
    targets: TARGETS,
    times: TIMES,
    intake,
    uploads: crowd,
    reuse,
    cores: cpus().length,
    load: round(loadavg()[0]),
  };
  console.log(JSON.stringify({ bench: 'photos', ratios, detail }));
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function measureIntake() {
  const found = {};
  for (const [megapixels, width, height] of [
    [12, 4032, 3024],
    [48, 8064, 6048],
  ]) {
    for (const profile of [true, false]) {
      const name = `${megapixels} MP ${profile ? 'Display P3' : 'sRGB'}`;
      const file = path.join(folder, `${megapixels}-${profile}.jpg`);
      writeFileSync(file, await phonePhoto({ width, height, profile }));
      // Ways take turns, so that a busy moment of the machine does not fall on one of them alone.
      const runs = { intake: [], cascade: [], straight: [], codes: [] };
      for (let turn = 0; turn < 2; turn += 1) for (const how of Object.keys(runs)) runs[how].push(worker(how, file));
      const cpu = Object.fromEntries(
        Object.entries(runs).map(([how, all]) => [how, Math.min(...all.flatMap(({ cpuMs }) => cpuMs))]),
      );
      const peakMb = Math.max(...runs.intake.map((run) => run.peakMb - run.beforeMb));
      const fingerprinted = runs.intake.every((run) => run.fingerprinted);
      const bareMb = Math.max(...runs.cascade.map((run) => run.peakMb - run.beforeMb));
      found[name] = {
        ofCascade: round(cpu.cascade / cpu.intake),
        ofStraight: round(cpu.straight / cpu.intake),
        ofCascadeWithCodes: round(cpu.cascade / cpu.codes),
        cpuMs: Object.fromEntries(Object.entries(cpu).map(([how, ms]) => [how, Math.round(ms)])),
        peakMb,
        bareMb,
        fingerprinted,
      };
      console.log(
        `${name}: ${found[name].ofCascade} of bare sharp that decodes once (target ${TARGETS.intake}), ${found[name].ofStraight} of three ` +
          `pipelines, ${found[name].ofCascadeWithCodes} with codes read; ${Math.round(cpu.intake)} ms of CPU a photo, ${peakMb} MB above the empty process (bare sharp ${bareMb} MB)`,
      );
    }
  }
  return found;
}

function worker(how, file) {
  const { stdout, stderr, status } = spawnSync(
    process.execPath,
    [here('./photos-worker.mjs'), how, file, String(TIMES)],
    {
      encoding: 'utf8',
    },
  );
  if (status !== 0) throw new Error(`${how} failed:\n${stderr}`);
  return JSON.parse(stdout);
}

async function measureCrowd() {
  const scene = await openScene(path.join(folder, 'state'), UPLOADS);
  const service = await startService(scene.url, path.join(folder, 'state'));
  try {
    const lookup = async () => {
      const claim = scene.claims[Math.floor(Math.random() * scene.claims.length)];
      const from = performance.now();
      const answer = await ask(
        service.port,
        get(`/v1/claims/${claim}/standing`, { authorization: `Bearer ${scene.key}` }),
      );
      if (answer.status !== 200) throw new Error(`the look-up answered ${answer.status}: ${answer.body}`);
      return performance.now() - from;
    };
    for (let n = 0; n < QUIET_LOOKUPS; n += 1) await lookup();
    const quiet = [];
    for (let n = 0; n < QUIET_LOOKUPS; n += 1) quiet.push(await lookup());
    const idleMb = memoryOf(service.pid);
    const links = await Promise.all(scene.ready.map(({ visit }) => crewLink(scene.url, visit)));
    const uploads = send(service.port, scene.ready, links);
    const busy = [];
    let peakMb = 0;
    const work = uploads.done.then(() => readAll(service.port, scene.ready, links));
    const reading = { over: false };
    void work.finally(() => (reading.over = true)).catch(() => undefined);
    while (!reading.over) {
      busy.push(await lookup());
      peakMb = Math.max(peakMb, memoryOf(service.pid));
      await pause(5);
    }
    const { sentMs } = await uploads.done;
    const seconds = await work;
    const [quietP95, busyP95] = [p95(quiet), p95(busy)];
    const ratio = round(busyP95 / quietP95);
    console.log(
      `${UPLOADS} photos at once: taken in after ${round(sentMs / 1000)} s, all read after ${round(seconds)} s more; look-up p95 ` +
        `${round(quietP95)} ms in quiet, ${round(busyP95)} ms meanwhile: ${ratio} times (target below ${TARGETS.lookup}); ` +
        `memory ${idleMb} MB before, at most ${peakMb} MB, service and readers together (bound ${TARGETS.memoryMb} MB)`,
    );
    return {
      ratio,
      quietP95Ms: round(quietP95),
      busyP95Ms: round(busyP95),
      lookups: busy.length,
      idleMb,
      peakMb,
      sentMs: Math.round(sentMs),
      readSeconds: round(seconds),
    };
  } finally {
    await service.stop();
    await scene.close();
  }
}

/** Sends every photo at the same moment, from a process of its own so that sending does not delay what is timed here. */
function send(port, places, links) {
  const child = fork(here('./photos-sender.mjs'), [path.join(folder, '12-true.jpg'), String(port)], {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const done = new Promise((settle, fail) => {
    child.once('message', settle);
    child.once('exit', (code) => fail(new Error(`the sender ended with ${code}`)));
  });
  child.send(places.map(({ inspection }, n) => ({ inspection, link: links[n] })));
  return { done };
}

/** Waits until every photo has been looked at. @returns {Promise<number>} seconds */
async function readAll(port, places, links) {
  const from = performance.now();
  for (const [n, { inspection }] of places.entries()) {
    for (let tries = 0; ; tries += 1) {
      const answer = await ask(
        port,
        get(`/v1/inspections/${inspection}/photos`, { authorization: `Bearer ${links[n]}` }),
      );
      const [photo] = JSON.parse(answer.body).items ?? [];
      if (photo?.state === 'read') break;
      if (photo?.state === 'failed' || tries > 600)
        throw new Error(`a photo was not read: ${answer.body.slice(0, 300)}`);
      await pause(200);
    }
  }
  return (performance.now() - from) / 1000;
}

function p95(times) {
  return times.toSorted((a, b) => a - b)[Math.floor(times.length * 0.95)];
}

function round(value) {
  return Math.round(value * 100) / 100;
}
