/* oxlint-disable unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited. */
import { describe, expect, it } from 'vitest';
import { contentHash } from '../../kernel/canonical-json.js';
import { smallDocument } from '../../../tests/support/small-policy.js';
import { shippedPolicy } from '../../../tests/support/shipped-policy.js';
import { compilePolicy, type PolicyDocument } from '../policies.contract.js';
import { toDmn } from './dmn-export.js';
import { fromDmn } from './dmn-import.js';

function readBack(document: PolicyDocument): PolicyDocument {
  const { xml } = toDmn(document, '2026-11-25');
  const read = fromDmn(xml);
  if (!read.ok) throw new Error(JSON.stringify(read.faults.slice(0, 5)));
  return read.document;
}

const RULES: PolicyDocument['decisions'][number] = {
  id: 'who answers',
  title: 'Who answers & why',
  gives: {
    party: { type: 'enum', values: ['carrier', 'maker'], optional: true },
    share: { type: 'decimal', scale: 2 },
  },
  table: {
    hit: 'unique',
    columns: { part: 'part', days: 'days', ratio: 'part price / price paid', told: 'delivered on' },
    rules: [
      {
        id: 'A-1',
        when: { part: '"carton", "leg"', days: '<= notice days' },
        then: { party: 'carrier', share: '1.00' },
        because: 'he said "so" <twice>\nin two lines',
      },
      {
        id: 'A 2*',
        when: { part: 'not("carton")', ratio: '(0.4..1]' },
        then: { party: 'maker', share: '0.5' },
        overrides: ['A-1', 'A-3 x'],
        source: 'common practice',
      },
      { id: 'A-3 x', when: { told: '>= date("2026-01-01")' }, then: { party: null, share: '0' } },
    ],
    otherwise: { party: null, share: '0' },
    otherwiseBecause: 'nothing else fits',
  },
};

describe('a policy in the interchange format and back', () => {
  it.each(['us', 'eu', 'uk'] as const)('keeps every word of the shipped policy %s', (name) => {
    const { document } = shippedPolicy(name);
    expect(contentHash(readBack(document))).toBe(contentHash(document));
  });

  it('keeps exceptions, nulls, several outcomes, expressions, odd names and characters', () => {
    const amount = {
      id: 'amount',
      gives: { 'to pay': { type: 'decimal', scale: 2 } },
      expression: 'if party = "maker" then decimal(price paid * share, 2) else 0',
    } as const;
    const document = smallDocument([RULES, amount], { caution: 'Ask a lawyer; "really" & truly <now>.' });
    expect(readBack(document)).toEqual(document);
  });

  it.each(['any', 'priority', 'rule order', 'output order', 'collect'] as const)('keeps the hit policy %s', (hit) => {
    const list = hit === 'rule order' || hit === 'output order';
    const otherwise = list ? { fee: [1, 2] } : { fee: 0 };
    const decision: PolicyDocument['decisions'][number] = {
      id: 'fees',
      gives: { fee: { type: 'integer', ...(list ? { list } : {}) } },
      table: {
        hit,
        ...(hit === 'collect' ? { aggregate: 'sum' } : {}),
        columns: { days: 'days' },
        rules: [{ id: 'F-1', when: { days: '> 3' }, then: { fee: 5 } }],
        otherwise,
      },
    };
    expect(readBack(smallDocument([decision]))).toEqual(smallDocument([decision]));
  });

  it('says what the format cannot say', () => {
    const { xml, notices } = toDmn(smallDocument([RULES]), '2026-11-25');
    expect(notices).toEqual([
      'The parameter "notice days" changes over time; other programs see only its value on 2026-11-25: 7.',
      'who answers: exceptions are written as the order of the rules (FIRST), the exception before the rule it overrides.',
    ]);
    expect(xml.indexOf('own:id="A 2*"')).toBeLessThan(xml.indexOf('own:id="A-1"'));
  });
});

/** A model as another program writes it: no elements of ours, the newest namespace, a diagram, an output without allowed values. */
const FOREIGN = `<?xml version="1.0" encoding="UTF-8"?>
<definitions xmlns="https://www.omg.org/spec/DMN/20230324/MODEL/" xmlns:x="urn:other" name="Notice" namespace="urn:t" id="d">
  <description>from elsewhere</description>
  <itemDefinition name="tPart"><typeRef>string</typeRef><allowedValues><text>"carton", "leg"</text></allowedValues></itemDefinition>
  <inputData name="the part" id="i1"><variable name="the part" typeRef="tPart"/></inputData>
  <inputData name="days" id="i2"><variable name="days" typeRef="number"/></inputData>
  <inputData name="delivered on" id="i3"><variable name="delivered on" typeRef="date"/></inputData>
  <decision name="Fee" id="d2"><variable name="Fee" typeRef="number"/>
    <informationRequirement><requiredDecision href="#d1"/></informationRequirement>
    <literalExpression><text>if Answers = "carrier" then 0 else 12.50</text></literalExpression></decision>
  <decision name="Answers" id="d1"><variable name="Answers" typeRef="string"/>
    <informationRequirement><requiredInput href="#i1"/></informationRequirement>
    <decisionTable hitPolicy="FIRST">
      <input><inputExpression typeRef="tPart"><text>the part</text></inputExpression></input>
      <input label="age"><inputExpression><text>days</text></inputExpression></input>
      <output/>
      <annotation name="Why"/>
      <rule id="r1"><inputEntry><text>"carton"</text></inputEntry><inputEntry><text>-</text></inputEntry><outputEntry><text>"carrier"</text></outputEntry><annotationEntry><text>in his care</text></annotationEntry></rule>
      <rule><inputEntry><text>-</text></inputEntry><inputEntry><text>&lt;= 7</text></inputEntry><outputEntry><text>"carrier"</text></outputEntry></rule>
      <rule><inputEntry><text>-</text></inputEntry><inputEntry><text>-</text></inputEntry><outputEntry><text>"nobody"</text></outputEntry></rule>
    </decisionTable></decision>
  <x:diagram/>
</definitions>`;

const HEAD = {
  jurisdiction: 'DE',
  caution: 'Imported; read before use.',
  zone: 'Europe/Berlin',
  money: { currency: 'EUR', scale: 2, rounding: 'half even' },
} as const;

describe('a model of another program', () => {
  it('becomes a policy that compiles and decides', () => {
    const read = fromDmn(FOREIGN, HEAD);
    if (!read.ok) throw new Error(JSON.stringify(read.faults));
    expect(read.document.decisions.map(({ id }) => id)).toEqual(['Answers', 'Fee']);
    expect(read.notices).toEqual([
      'Line 15: "x:diagram" belongs to another program and was left out.'.replace(
        '15',
        String(FOREIGN.split('\n').findIndex((line) => line.includes('x:diagram')) + 1),
      ),
      'Line 3: "description" was left out; it decides nothing.',
    ]);
    const compiled = compilePolicy(read.document);
    if (!compiled.ok) throw new Error(JSON.stringify(compiled.faults));
    const outcome = compiled.policy.evaluate('2026-03-01', { 'the part': 'leg', days: '9' });
    expect(outcome.outcomes).toEqual({ Answers: 'nobody', Fee: '12.5' });
    expect(compiled.policy.evaluate('2026-03-01', { 'the part': 'leg', days: '7' }).outcomes).toEqual({
      Answers: 'carrier',
      Fee: '0',
    });
    expect(read.document.decisions[0]?.table?.rules[0]).toMatchObject({ id: 'r1', because: 'in his care' });
  });

  const swap = (from: string, to: string): string => FOREIGN.replace(from, to);
  it.each([
    [
      'a function of its own',
      swap('<description>from elsewhere</description>', '<businessKnowledgeModel name="f"/>'),
      '"businessKnowledgeModel" is not taken over',
    ],
    ['a list type', swap('name="tPart"', 'name="tPart" isCollection="true"'), 'is a list'],
    [
      'a structured type',
      swap('<typeRef>string</typeRef>', '<itemComponent name="a"><typeRef>string</typeRef></itemComponent>'),
      'holds "itemComponent"',
    ],
    [
      'an outcome that is worked out',
      swap('<text>"nobody"</text>', '<text>the part + "x"</text>'),
      'gives plain values',
    ],
    [
      'a context',
      swap(
        '<literalExpression><text>if Answers = "carrier" then 0 else 12.50</text></literalExpression>',
        '<context/>',
      ),
      'is "context"',
    ],
    [
      'a decision without logic',
      swap('<literalExpression><text>if Answers = "carrier" then 0 else 12.50</text></literalExpression>', ''),
      'has no logic',
    ],
    [
      'a decision that reads itself',
      swap('<requiredInput href="#i1"/>', '<requiredDecision href="#d2"/>'),
      'reads itself',
    ],
    ['another file', swap('href="#d1"', 'href="other.dmn#d1"'), 'in another file'],
    ['a rule that is too short', swap('<inputEntry><text>&lt;= 7</text></inputEntry>', ''), '1 conditions'],
    ['a time of day', swap('typeRef="date"', 'typeRef="time"'), 'Its type "time" is not taken over'],
  ])('is refused for %s, with its place', (_, text, detail) => {
    const read = fromDmn(text, HEAD);
    if (read.ok) throw new Error('was taken');
    const fault = read.faults.find((each) => each.detail.includes(detail));
    expect(fault, JSON.stringify(read.faults)).toBeDefined();
    if (!fault) return;
    expect(text.split('\n')[fault.line - 1]?.slice(fault.column - 1)).toMatch(/^</);
    expect(text.slice(fault.from, fault.to)).toMatch(/^<[^>]*>$/);
  });

  it('is refused where nobody says what a policy must say of itself', () => {
    const read = fromDmn(FOREIGN);
    expect(read).toMatchObject({
      ok: false,
      faults: [{ detail: 'The file does not say, and nobody said for it: jurisdiction, caution, zone, money.' }],
    });
  });
});

describe('hostile files', () => {
  it.each([
    [
      'an external entity',
      '<!DOCTYPE d [<!ENTITY x SYSTEM "file:///etc/passwd">]><definitions>&x;</definitions>',
      'document type',
    ],
    [
      'entities that double',
      '<!DOCTYPE d [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><definitions>&b;</definitions>',
      'document type',
    ],
    ['an entity that nobody declared', FOREIGN.replace('in his care', '&care;'), 'well-formed'],
    ['20,000 levels', '<a>'.repeat(20_000), 'nested deeper'],
    ['a file that stops', FOREIGN.slice(0, 900), 'well-formed'],
    ['no XML', '{"format":"policy/1"}', 'well-formed'],
    ['nothing', '', 'well-formed'],
    ['another root', '<svg xmlns="http://www.w3.org/2000/svg"/>', 'no decision model'],
    ['an attribute of 6 MB', `<definitions name="${'x'.repeat(6_000_000)}"/>`, 'longer than'],
  ])('%s: refused in words', (_, text, detail) => {
    const read = fromDmn(text, HEAD);
    expect(read.ok ? 'taken' : read.faults[0]?.detail).toContain(detail);
  });
});
