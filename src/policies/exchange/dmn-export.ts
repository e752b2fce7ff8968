import type { Element } from '@xmldom/xmldom';
import type { FactType, Parameter, PolicyDecision, PolicyDocument } from '../policies.contract.js';
import { decisionTable } from './dmn-export-table.js';
import { allowedValues, feelType, FEEL_13, OWN } from './dmn-vocabulary.js';
import { namesRead } from './names-read.js';
import { DmnXml } from './xml-writing.js';

export interface DmnExport {
  readonly xml: string;
  /** What the format says differently or a reader should know, one sentence each. */
  readonly notices: readonly string[];
}

/**
 * Writes a policy as DMN 1.3 XML. Facts become input data, dated parameters decisions with their value of one day, tables
 * decision tables; what the format has no place for stands in elements and attributes of a namespace of our own, so that
 * reading it back gives the same policy.
 * @param on day whose parameter values are written, as 2026-03-01
 */
export function toDmn(document: PolicyDocument, on: string): DmnExport {
  return new Export(document, on).run();
}

class Export {
  private readonly xml = new DmnXml();
  private readonly notices: string[] = [];
  /** Id of the element that stands for a name, and how to ask for it. */
  private readonly places = new Map<string, { readonly id: string; readonly kind: 'input' | 'decision' }>();

  constructor(
    private readonly document: PolicyDocument,
    private readonly on: string,
  ) {}

  run(): DmnExport {
    const { document, xml } = this;
    xml.attributes(xml.root, {
      id: xml.id('policy', document.id),
      name: document.title,
      namespace: `${OWN}:${document.id}`,
      expressionLanguage: FEEL_13,
    });
    const types = [
      ...Object.entries(document.facts),
      ...document.decisions.flatMap(({ gives }) => Object.entries(gives)),
    ].map(([name, type]) => this.itemDefinition(name, type));
    const facts = Object.keys(document.facts).map((name) => this.inputData(name));
    const parameters = Object.entries(document.parameters).map(([name, parameter]) => this.parameter(name, parameter));
    const decisions = document.decisions.map((decision) => this.decision(decision));
    const compound = decisions.flatMap(({ type }) => (type ? [type] : []));
    const drawn = decisions.flatMap(({ elements }) => elements);
    for (const child of [this.head(), ...types, ...compound, ...facts, ...parameters, ...drawn])
      xml.root.appendChild(child);
    return { xml: xml.toString(), notices: this.notices };
  }

  private head(): Element {
    const { xml, document } = this;
    const { currency, scale, rounding } = document.money;
    const policy = xml.element('own:policy', {
      id: document.id,
      version: document.version === undefined ? undefined : String(document.version),
      jurisdiction: document.jurisdiction,
      caution: document.caution,
      governedBy: document.governedBy,
      zone: document.zone,
      currency,
      scale: String(scale),
      rounding,
    });
    for (const clock of document.clocks ?? []) policy.appendChild(xml.element('own:clock', {}, JSON.stringify(clock)));
    for (const example of document.examples)
      policy.appendChild(xml.element('own:example', {}, JSON.stringify(example)));
    return xml.element('extensionElements', {}, policy);
  }

  private itemDefinition(name: string, type: FactType): Element {
    const { xml } = this;
    const allowed = allowedValues(type);
    return xml.element(
      'itemDefinition',
      {
        id: xml.id('type', name),
        name: typeName(name),
        'own:type': type.type === 'integer' || type.type === 'decimal' ? type.type : undefined,
        'own:scale': type.type === 'decimal' && type.scale !== undefined ? String(type.scale) : undefined,
        'own:optional': type.optional ? 'true' : undefined,
        'own:list': type.list ? 'true' : undefined,
        'own:ask': type.ask,
      },
      xml.element('typeRef', {}, feelType(type)),
      ...(allowed === undefined ? [] : [xml.spoken('allowedValues', allowed)]),
    );
  }

  private inputData(name: string): Element {
    const id = this.xml.id('fact', name);
    this.places.set(name, { id, kind: 'input' });
    return this.xml.element('inputData', { id, name }, this.variable(name, typeName(name)));
  }

  private variable(name: string, typeRef: string): Element {
    return this.xml.element('variable', { name, typeRef });
  }

  private parameter(name: string, { type, unit, values }: Parameter): Element {
    const { xml } = this;
    const id = xml.id('parameter', name);
    this.places.set(name, { id, kind: 'decision' });
    const held = values.findLast(({ from }) => from <= this.on);
    if (held === undefined)
      this.notices.push(`The parameter "${name}" has no value on ${this.on}; its decision is written as null.`);
    if (values.length > 1)
      this.notices.push(
        `The parameter "${name}" changes over time; other programs see only its value on ${this.on}: ${held?.value ?? 'none'}.`,
      );
    const dated = values.map(({ from, value, because, source }) =>
      xml.element('own:value', { from, value: String(value), because, source }),
    );
    return xml.element(
      'decision',
      { id, name, 'own:parameter': type, 'own:unit': unit },
      xml.element('extensionElements', {}, ...dated),
      this.variable(name, 'number'),
      xml.spoken('literalExpression', held === undefined ? 'null' : String(held.value), { id: xml.id('text', name) }),
    );
  }

  private decision(decision: PolicyDecision): { readonly type?: Element; readonly elements: Element[] } {
    const { xml } = this;
    const outcomes = Object.keys(decision.gives);
    const single = outcomes.length === 1 ? outcomes[0] : undefined;
    const name = single ?? this.freeName(decision.id);
    const id = xml.id('decision', decision.id);
    const body = decision.table
      ? decisionTable(xml, decision, decision.table, this.notices)
      : xml.spoken('literalExpression', decision.expression ?? 'null', { id: xml.id('text', decision.id) });
    const element = xml.element(
      'decision',
      { id, name, 'own:id': decision.id, 'own:title': decision.title },
      this.variable(name, single === undefined ? typeName(decision.id) : typeName(single)),
      ...this.requirements(decision),
      body,
    );
    if (single !== undefined) {
      this.places.set(single, { id, kind: 'decision' });
      return { elements: [element] };
    }
    return { type: this.compound(decision), elements: [element, ...this.parts(decision, name, id)] };
  }

  /** A name for a decision with several outcomes that no fact, parameter or outcome has. */
  private freeName(wanted: string): string {
    const { facts, parameters, decisions } = this.document;
    const taken = new Set([
      ...Object.keys(facts),
      ...Object.keys(parameters),
      ...decisions.flatMap(({ gives }) => Object.keys(gives)),
    ]);
    let name = wanted;
    while (taken.has(name)) name = `${name} outcomes`;
    return name;
  }

  private compound(decision: PolicyDecision): Element {
    const parts = Object.keys(decision.gives).map((name) =>
      this.xml.element(
        'itemComponent',
        { id: this.xml.id('part', name), name },
        this.xml.element('typeRef', {}, typeName(name)),
      ),
    );
    const attributes = { id: this.xml.id('types', decision.id), name: typeName(decision.id) };
    return this.xml.element('itemDefinition', attributes, ...parts);
  }

  /** One small decision an outcome, so that tables below can read it by its name. */
  private parts(decision: PolicyDecision, name: string, from: string): Element[] {
    const { xml } = this;
    return Object.keys(decision.gives).map((outcome) => {
      const id = xml.id('outcome', outcome);
      this.places.set(outcome, { id, kind: 'decision' });
      return xml.element(
        'decision',
        { id, name: outcome, 'own:outcomeOf': decision.id },
        this.variable(outcome, typeName(outcome)),
        this.requirement(`${decision.id} ${outcome}`, { id: from, kind: 'decision' }),
        xml.spoken('literalExpression', `${name}.${outcome}`, { id: xml.id('text', outcome) }),
      );
    });
  }

  private requirements(decision: PolicyDecision): Element[] {
    const texts = decision.table
      ? [...Object.values(decision.table.columns), ...decision.table.rules.flatMap(({ when }) => Object.values(when))]
      : [decision.expression ?? ''];
    return namesRead(texts, [...this.places.keys()]).flatMap((name) => {
      const place = this.places.get(name);
      return place ? [this.requirement(`${decision.id} ${name}`, place)] : [];
    });
  }

  private requirement(label: string, place: { readonly id: string; readonly kind: 'input' | 'decision' }): Element {
    const { xml } = this;
    const kind = place.kind === 'input' ? 'requiredInput' : 'requiredDecision';
    return xml.element(
      'informationRequirement',
      { id: xml.id('reads', label) },
      xml.element(kind, { href: `#${place.id}` }),
    );
  }
}

function typeName(name: string): string {
  return `${name} type`;
}
