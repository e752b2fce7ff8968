import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compilePolicy } from './compile-policy.js';
import { runExamples } from './run-examples.js';

const example: unknown = JSON.parse(readFileSync(new URL('./worked-example.policy.json', import.meta.url), 'utf8'));

describe('the worked example', () => {
  const compiled = compilePolicy(example);
  if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults, null, 1));
  // Expected answers are stated in the document beside the facts and were worked out by hand.
  it.each(runExamples(compiled.policy))('$id', (result) => {
    expect(result.differences).toEqual([]);
  });
});
