import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compilePolicy, type CompiledPolicy, type Facts } from '../policies.contract.js';

const folder = new URL('../shipped/', import.meta.url);

function shipped(file: string): CompiledPolicy {
  const outcome = compilePolicy(JSON.parse(readFileSync(new URL(file, folder), 'utf8')));
  if (!outcome.ok) throw new Error(`${file} does not compile`);
  return outcome.policy;
}

describe.each(readdirSync(folder).filter((name) => name.endsWith('.json')))('a case under %s', (file) => {
  const policy = shipped(file);

  it.each(policy.document.examples)(
    'answers example $id alike, however its facts are laid',
    ({ on, given, decisions }) => {
      const whole = policy.evaluate(on, given, decisions);
      const names = Object.keys(given);
      const some = (keep: (index: number) => boolean): Facts =>
        Object.fromEntries(names.filter((_, index) => keep(index)).map((name) => [name, given[name] ?? null]));
      const half = policy
        .caseOf(
          on,
          some((index) => index % 2 === 0),
        )
        .with(some((index) => index % 2 === 1));
      expect(half.evaluate(decisions)).toEqual(whole);
      const twice = policy.caseOf(on, given).with(some((index) => index === 0));
      expect(twice.evaluate(decisions)).toEqual(whole);
    },
  );

  it('takes the fact that was given last, and leaves the case before as it was', () => {
    const [example] = policy.document.examples.filter(({ given }) => given['ground'] === 'damage');
    if (example === undefined) throw new Error('no example of damage');
    const before = policy.caseOf(example.on, example.given);
    const first = before.evaluate(example.decisions);
    const after = before.with({ ground: 'warranty' }).evaluate(example.decisions);
    expect(after).toEqual(policy.evaluate(example.on, { ...example.given, ground: 'warranty' }, example.decisions));
    expect(before.evaluate(example.decisions)).toEqual(first);
  });

  it('refuses what the policy does not declare, in either step', () => {
    expect(() => policy.caseOf('2026-03-01', { 'no such fact': 1 })).toThrow(RangeError);
    expect(() => policy.caseOf('2026-03-01', {}).with({ ground: 'no such ground' })).toThrow(RangeError);
    expect(() => policy.caseOf('1 March', {})).toThrow(RangeError);
  });
});
