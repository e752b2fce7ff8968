import { existsSync } from 'node:fs';
import { Decimal } from '../policies/domain/feel/decimal.js';
import { FeelFunction, type FeelValue } from '../policies/domain/feel/kinds.js';
import { Clock, Day, Moment, NANOS_PER_SECOND } from '../policies/domain/feel/temporal.js';
import type { ClockFunctions } from '../policies/conformance/decision-model.js';
import { TOLERANCE } from '../policies/conformance/test-cases.js';
import { schemaResults } from './conformance-schema.js';
import { reachesBar, runGroups, type GroupResult } from '../policies/conformance/run-folder.js';

/**
 * Runs the conformance cases of OMG DMN in a folder (compliance-level-2 and compliance-level-3 below it, each folder with *.dmn
 * models and *.xml cases) and prints what passed per group, what failed and what was skipped and why; last one line of JSON.
 * Exit codes: 0 every bar reached, or no folder to run; 1 a bar missed; 2 a folder without cases.
 */
async function main(folder: string | undefined): Promise<number> {
  if (folder === undefined || !existsSync(folder)) {
    const why = folder === undefined ? 'no folder was given' : `there is no folder ${folder}`;
    write(`Conformance skipped: ${why}. Usage: npm run -s conformance -- FOLDER`);
    write(JSON.stringify({ conformance: 'skipped', reason: why }));
    return 0;
  }
  const results = runGroups(folder, clockFunctions());
  if (results.length === 0) {
    write(`There are no conformance cases in ${folder}: compliance-level-2 and compliance-level-3 are looked for.`);
    return 2;
  }
  for (const result of results) print(result);
  const total = sum(results, ({ total }) => total);
  const schema = await schemaResults(folder);
  for (const { policy, errors } of schema ?? [])
    write(
      `${errors.length === 0 ? 'ok    ' : 'MISSED'} ${policy} as DMN 1.3 against the official schema: ${errors.slice(0, 3).join('; ') || 'valid'}`,
    );
  if (schema === undefined) write('skipped the schema: DMN13.xsd and what it includes are not in the folder');
  const ok = results.every(reachesBar) && (schema ?? []).every(({ errors }) => errors.length === 0);
  write(`\nall: ${sum(results, ({ passed }) => passed)} of ${total}, numbers within ${TOLERANCE}`);
  const groups = Object.fromEntries(
    results.map(({ name, passed, total, bar, skipped }) => [name, { passed, total, bar, skipped: skipped.length }]),
  );
  write(
    JSON.stringify({
      conformance: ok ? 'passed' : 'failed',
      groups,
      schema: schema?.map(({ policy, errors }) => ({ policy, valid: errors.length === 0 })) ?? 'skipped',
    }),
  );
  return ok ? 0 : 1;
}

function print(result: GroupResult): void {
  const { name, passed, total, bar, failed, skipped } = result;
  const share = ((100 * passed) / total).toFixed(2);
  const needs = bar === 1 ? 'all' : `${100 * bar} %`;
  write(`${reachesBar(result) ? 'ok    ' : 'MISSED'} ${name}: ${passed} of ${total} (${share} %, needs ${needs})`);
  for (const line of skipped) write(`       skipped ${line}`);
  for (const line of failed) write(`       failed  ${line}`);
}

function sum(results: readonly GroupResult[], of: (result: GroupResult) => number): number {
  return results.reduce((total, result) => total + of(result), 0);
}

/** The functions that read a clock, which the rule language itself does not have. */
function clockFunctions(): ClockFunctions {
  const withoutValues = (read: () => FeelValue): FeelFunction =>
    new FeelFunction([], (args) => (args.length === 0 ? read() : null));
  const today = (): Day => new Day(Temporal.Now.plainDateISO('UTC').since('1970-01-01').total('days'));
  const now = (): Moment => {
    const { hour, minute, second, millisecond } = Temporal.Now.plainTimeISO('UTC');
    const seconds = new Decimal((hour * 60 + minute) * 60 + second);
    return new Moment(today(), new Clock(seconds.times(NANOS_PER_SECOND).toNumber() + millisecond * 1_000_000, 0));
  };
  return new Map([
    ['today', withoutValues(today)],
    ['now', withoutValues(now)],
  ]);
}

function write(line: string): void {
  process.stdout.write(`${line}\n`);
}

process.exitCode = await main(process.argv[2]);
