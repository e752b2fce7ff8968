import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analysePolicy, coverageOf } from './analysis.contract.js';
import { compilePolicy, type CompiledPolicy, type PolicyDocument } from './policies.contract.js';
import { runExamples } from './domain/run-examples.js';

const folder = new URL('./shipped/', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.json'));

function compiled(file: string): CompiledPolicy {
  const outcome = compilePolicy(JSON.parse(readFileSync(new URL(file, folder), 'utf8')));
  if (!outcome.ok) throw new Error(`${file}: ${JSON.stringify(outcome.faults, null, 1)}`);
  return outcome.policy;
}

/** Rule ids of a policy, and `decision: otherwise` for each row of that name. */
function ruleIds(document: PolicyDocument): string[] {
  return document.decisions.flatMap(({ id, table }) => [
    ...(table?.rules.map((rule) => rule.id) ?? []),
    ...(table?.otherwise ? [`${id}: otherwise`] : []),
  ]);
}

describe('shipped policies', () => {
  it('are three, for the United States, the European Union and the United Kingdom', () => {
    expect(files).toEqual([
      'eu-powered-furniture.1.json',
      'uk-powered-furniture.1.json',
      'us-powered-furniture.1.json',
    ]);
  });

  describe.each(files)('%s', (file) => {
    const policy = compiled(file);
    const results = runExamples(policy);

    it('is named by its id and version', () => {
      expect(`${policy.document.id}.${policy.document.version}.json`).toBe(file);
    });

    it.each(results)('example $id', ({ differences }) => {
      expect(differences).toEqual([]);
    });

    it('has at least 12 examples, some of which ask for more facts', () => {
      expect(results.length).toBeGreaterThanOrEqual(12);
      expect(policy.document.examples.some(({ expect: wanted }) => 'needs' in wanted)).toBe(true);
    });

    it('has an example for at least 95 of 100 rules', () => {
      const ids = ruleIds(policy.document);
      const hit = new Set(results.flatMap(({ fired }) => fired));
      const never = ids.filter((id) => !hit.has(id));
      expect(never.length, `never hit: ${never.join(', ')}`).toBeLessThanOrEqual(ids.length * 0.05);
    });

    it('has nothing that the analysis calls an error or wants looked at', () => {
      const { findings } = analysePolicy(policy);
      expect(findings.filter(({ severity }) => severity !== 'information').map(({ detail }) => detail)).toEqual([]);
    });

    it('has an example on both sides of at least 90 of 100 boundaries', () => {
      expect(coverageOf(policy).boundariesPercent).toBeGreaterThanOrEqual(90);
    });

    it('gives a reason and a source for every rule and a caution for the whole', () => {
      const rules = policy.document.decisions.flatMap(({ table }) => table?.rules ?? []);
      expect(rules.filter(({ because, source }) => !because || !source)).toEqual([]);
      expect(policy.document.caution).toMatch(/not legal advice.*written warranty prevail.*licensed professional/s);
    });
  });
});
