import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import type { FeelValue } from '../domain/feel/kinds.js';
import { textOf } from '../domain/feel/value-text.js';
import { DecisionModel, type ClockFunctions } from './decision-model.js';
import { GROUPS, SKIPPED, type Group } from './groups.js';
import { agrees, readTestCases, type ExpectedResult } from './test-cases.js';

/** What came of one group. */
export interface GroupResult {
  readonly name: string;
  readonly bar: number;
  readonly passed: number;
  readonly total: number;
  /** Results that came out otherwise, as folder, case and decision, with both values. */
  readonly failed: readonly string[];
  /** Results that were not run, each with its reason. */
  readonly skipped: readonly string[];
}

/** Runs every case of every group below a folder. Groups without a single folder there are left out. */
export function runGroups(root: string, clock: ClockFunctions): GroupResult[] {
  return GROUPS.flatMap((group) => {
    const folders = foldersOf(root, group);
    return folders.length === 0 ? [] : [runGroup(group, folders, clock)];
  });
}

/** Whether a group reaches its bar; what was skipped counts as not passed. */
export function reachesBar({ bar, passed, total }: GroupResult): boolean {
  return total > 0 && passed / total >= bar;
}

function foldersOf(root: string, { level, folders }: Group): string[] {
  const there = path.join(root, level);
  if (!existsSync(there)) return [];
  return readdirSync(there)
    .filter((name) => folders === undefined || folders.includes(name.slice(0, 4)))
    .toSorted()
    .map((name) => path.join(there, name));
}

function runGroup(group: Group, folders: readonly string[], clock: ClockFunctions): GroupResult {
  const failed: string[] = [];
  const skipped: string[] = [];
  let [passed, total] = [0, 0];
  for (const folder of folders) {
    for (const file of readdirSync(folder)
      .filter((name) => name.endsWith('.xml'))
      .toSorted()) {
      const { model, results } = readTestCases(readFileSync(path.join(folder, file), 'utf8'));
      const ready = new DecisionModel(readFileSync(path.join(folder, model), 'utf8'), clock);
      for (const result of results) {
        const name = `${path.basename(folder)}: ${result.name}`;
        const skip = SKIPPED.find((one) => name.startsWith(one.folder) && one.result === result.name);
        total += 1;
        if (skip) {
          skipped.push(`${name}: ${skip.reason}`);
          continue;
        }
        const wrong = wrongIn(ready, result);
        if (wrong === undefined) passed += 1;
        else failed.push(`${name}: ${wrong}`);
      }
    }
  }
  return { name: group.name, bar: group.bar, passed, total, failed, skipped };
}

/** What a result came to where that is not what was expected; undefined where it agrees. */
function wrongIn(model: DecisionModel, { decision, service, inputs, expected }: ExpectedResult): string | undefined {
  let actual: FeelValue;
  try {
    actual =
      service === undefined ? model.evaluate(decision, inputs) : model.evaluateService(service, decision, inputs);
  } catch (error) {
    // An expression that ends in an error, such as endless recursion, has the value null.
    if (!(error instanceof RangeError)) throw error;
    actual = null;
  }
  return agrees(actual, expected) ? undefined : `expected ${shown(expected)}, got ${shown(actual)}`;
}

function shown(value: FeelValue): string {
  return textOf(typeof value === 'string' ? [value] : value) ?? 'null';
}
