import { describe, expect, it } from 'vitest';
import { Decimal } from '../domain/feel/decimal.js';
import type { FeelValue } from '../domain/feel/kinds.js';
import { textOf } from '../domain/feel/value-text.js';
import { DecisionModel } from './decision-model.js';

/** A model of our own with every construct that is read, in one namespace or another. */
function model(namespace = 'https://www.omg.org/spec/DMN/20191111/MODEL/', head = ''): string {
  return `<?xml version="1.0"?>${head}
<definitions xmlns="${namespace}" name="legs" namespace="urn:legs">
  <itemDefinition name="tLeg">
    <itemComponent name="torn screws"><typeRef>number</typeRef></itemComponent>
    <itemComponent name="wood"><typeRef>string</typeRef></itemComponent>
  </itemDefinition>
  <itemDefinition name="tWood"><typeRef>string</typeRef><allowedValues><text>"oak", "ash"</text></allowedValues></itemDefinition>
  <itemDefinition name="tLegs" isCollection="true"><typeRef>tLeg</typeRef></itemDefinition>
  <inputData id="i1" name="Legs"><variable name="Legs" typeRef="tLegs"/></inputData>
  <inputData id="i2" name="Favourite wood"><variable name="Favourite wood" typeRef="tWood"/></inputData>
  <businessKnowledgeModel id="k1" name="price of">
    <encapsulatedLogic>
      <formalParameter name="screws" typeRef="number"/>
      <literalExpression><text>decimal(screws * 0.125, 2)</text></literalExpression>
    </encapsulatedLogic>
  </businessKnowledgeModel>
  <decision name="Screws"><informationRequirement><requiredInput href="#i1"/></informationRequirement>
    <literalExpression><text>sum(Legs.torn screws)</text></literalExpression></decision>
  <decision name="Oak legs"><informationRequirement><requiredInput href="#i1"/></informationRequirement>
    <literalExpression><text>count(Legs[wood = "oak" and torn screws &gt; 0])</text></literalExpression></decision>
  <decision name="Wood"><informationRequirement><requiredInput href="#i2"/></informationRequirement>
    <literalExpression><text>Favourite wood</text></literalExpression></decision>
  <decision id="d1" name="Price"><knowledgeRequirement><requiredKnowledge href="#k1"/></knowledgeRequirement>
    <informationRequirement><requiredInput href="#i1"/></informationRequirement>
    <context>
      <contextEntry><variable name="all of them" typeRef="number"/><literalExpression><text>sum(Legs.torn screws)</text></literalExpression></contextEntry>
      <contextEntry><invocation><literalExpression><text>price of</text></literalExpression>
        <binding><parameter name="screws"/><literalExpression><text>all of them</text></literalExpression></binding></invocation></contextEntry>
    </context></decision>
  <decision name="Rows"><relation><column name="a"/><column name="b"/>
    <row><literalExpression><text>1</text></literalExpression><literalExpression><text>"x"</text></literalExpression></row></relation></decision>
  <decision name="Items"><list><literalExpression><text>1 + 1</text></literalExpression><literalExpression><text>null</text></literalExpression></list></decision>
  <decision name="Typed"><variable name="Typed" typeRef="string"/><literalExpression><text>1</text></literalExpression></decision>
  <decision name="Broken"><literalExpression><text>1 +</text></literalExpression></decision>
  <decision name="Grade"><informationRequirement><requiredDecision href="#d1"/></informationRequirement>
    <decisionTable hitPolicy="FIRST">
      <input><inputExpression typeRef="number"><text>Price</text></inputExpression></input>
      <output name="grade"><defaultOutputEntry><text>"none"</text></defaultOutputEntry></output>
      <output name="fee"/>
      <rule><inputEntry><text>[0.5..1)</text></inputEntry><outputEntry><text>"B"</text></outputEntry><outputEntry><text>Price * 2</text></outputEntry></rule>
      <rule><inputEntry><text>&gt;= 1</text></inputEntry><outputEntry><text>"A"</text></outputEntry><outputEntry><text>-1</text></outputEntry></rule>
    </decisionTable></decision>
</definitions>`;
}

const leg = (screws: number, wood: string): FeelValue =>
  new Map<string, FeelValue>([
    ['torn screws', new Decimal(screws)],
    ['wood', wood],
  ]);
const inputs = new Map<string, FeelValue>([
  ['Legs', [leg(3, 'oak'), leg(0, 'oak'), leg(2, 'ash')]],
  ['Favourite wood', 'oak'],
]);

describe.each([
  'http://www.omg.org/spec/DMN/20180521/MODEL/',
  'https://www.omg.org/spec/DMN/20191111/MODEL/',
  'https://www.omg.org/spec/DMN/20211108/MODEL/',
  'https://www.omg.org/spec/DMN/20230324/MODEL/',
])('a decision model of %s', (namespace) => {
  const ready = new DecisionModel(model(namespace), new Map());
  // Worked out by hand: five screws of 0.125 each are 0.625, half even 0.62.
  it.each([
    ['Screws', '5'],
    ['Oak legs', '1'],
    ['Wood', 'oak'],
    ['Price', '0.62'],
    ['Rows', '[{a: 1, b: "x"}]'],
    ['Items', '[2, null]'],
    ['Typed', null],
    ['Broken', null],
    ['Grade', '{grade: "B", fee: 1.24}'],
    ['No such decision', null],
  ])('%s is %s', (decision, expected) => {
    expect(textOf(ready.evaluate(decision, inputs))).toBe(expected);
  });
});

describe('inputs and defaults', () => {
  const ready = new DecisionModel(model(), new Map());

  it('an input outside of its declared type or values is null', () => {
    expect(ready.evaluate('Wood', new Map([['Favourite wood', 'pine']]))).toBe(null);
    expect(ready.evaluate('Screws', new Map<string, FeelValue>([['Legs', ['no leg']]]))).toBe(null);
  });

  it('a table without a hit gives its default, and null for an output without one', () => {
    expect(textOf(ready.evaluate('Grade', new Map([['Legs', [leg(1, 'oak')]]])))).toBe('{grade: "none", fee: null}');
  });
});

describe('hostile files', () => {
  it('a document type, and so every entity, is refused and nothing is fetched', () => {
    const external = '<!DOCTYPE definitions [<!ENTITY x SYSTEM "file:///etc/hostname">]>';
    expect(() => new DecisionModel(model(undefined, external), new Map())).toThrow(/document type or entities/);
  });

  it('what is no XML is refused', () => {
    expect(() => new DecisionModel('<definitions>', new Map())).toThrow();
    expect(() => new DecisionModel('', new Map())).toThrow();
  });
});
