import type { Element } from '@xmldom/xmldom';
import type { FactType, OutcomeValue, PolicyDecision, PolicyRule, PolicyTable } from '../policies.contract.js';
import { allowedValues, hitToDmn, quoted } from './dmn-vocabulary.js';
import { ANY } from './plain-tables.js';
import type { DmnXml } from './xml-writing.js';

/** A decision table as an element of the interchange format; what it cannot say becomes a notice. */
export function decisionTable(xml: DmnXml, decision: PolicyDecision, table: PolicyTable, notices: string[]): Element {
  const exceptions = table.rules.some(({ overrides }) => (overrides ?? []).length > 0);
  if (exceptions)
    notices.push(
      `${decision.id}: exceptions are written as the order of the rules (FIRST), the exception before the rule it overrides.`,
    );
  const rules = exceptions ? exceptionsFirst(table.rules) : table.rules;
  const asFirst = exceptions || table.hit === 'first';
  const otherwiseRow = asFirst && table.otherwise !== undefined;
  const inputs = Object.entries(table.columns).map(([column, text]) =>
    xml.element(
      'input',
      { id: xml.id('column', `${decision.id} ${column}`), label: column },
      xml.spoken('inputExpression', text, { id: xml.id('reads', `${decision.id} ${column}`) }),
    ),
  );
  const several = Object.keys(decision.gives).length > 1;
  const outputs = Object.entries(decision.gives).map(([name, type]) =>
    outputClause(xml, {
      decision: decision.id,
      name,
      type,
      several,
      otherwise: otherwiseRow ? undefined : table.otherwise,
    }),
  );
  const row = (rule: PolicyRule, own: Readonly<Record<string, string | undefined>>): Element =>
    ruleRow(xml, { decision, table, rule, own });
  const rows = rules.map((rule) =>
    row(rule, {
      'own:id': rule.id,
      'own:overrides':
        rule.overrides && rule.overrides.length > 0 ? rule.overrides.map(encodeURIComponent).join(' ') : undefined,
      'own:place': exceptions ? String(table.rules.indexOf(rule)) : undefined,
    }),
  );
  if (otherwiseRow && table.otherwise)
    rows.push(row(otherwiseRule(table, table.otherwise), { 'own:otherwise': 'true' }));
  return xml.element(
    'decisionTable',
    {
      id: xml.id('table', decision.id),
      hitPolicy: asFirst ? 'FIRST' : hitToDmn(table.hit),
      aggregation: table.aggregate?.toUpperCase(),
      'own:hit': exceptions ? table.hit : undefined,
      'own:otherwiseBecause': otherwiseRow ? undefined : table.otherwiseBecause,
    },
    ...inputs,
    ...outputs,
    xml.element('annotation', { name: 'because' }),
    xml.element('annotation', { name: 'source' }),
    ...rows,
  );
}

function otherwiseRule(table: PolicyTable, then: PolicyRule['then']): PolicyRule {
  const because = table.otherwiseBecause;
  // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
  return { id: 'otherwise', when: {}, then, ...(because === undefined ? {} : { because }) };
}

interface OutputOf {
  readonly decision: string;
  readonly name: string;
  readonly type: FactType;
  readonly several: boolean;
  readonly otherwise: PolicyTable['otherwise'];
}

function outputClause(xml: DmnXml, { decision, name, type, several, otherwise }: OutputOf): Element {
  const allowed = type.type === 'enum' ? allowedValues(type) : undefined;
  const standard = otherwise?.[name];
  return xml.element(
    'output',
    { id: xml.id('output', `${decision} ${name}`), name: several ? name : undefined, typeRef: `${name} type` },
    ...(allowed === undefined ? [] : [xml.spoken('outputValues', allowed)]),
    ...(standard === undefined ? [] : [xml.spoken('defaultOutputEntry', literal(type, standard))]),
  );
}

interface RowOf {
  readonly decision: PolicyDecision;
  readonly table: PolicyTable;
  readonly rule: PolicyRule;
  readonly own: Readonly<Record<string, string | undefined>>;
}

function ruleRow(xml: DmnXml, { decision, table, rule, own }: RowOf): Element {
  const label = `${decision.id} ${rule.id}`;
  return xml.element(
    'rule',
    { id: xml.id('rule', label), ...own },
    ...Object.keys(table.columns).map((column) => xml.spoken('inputEntry', rule.when[column] ?? ANY)),
    ...Object.entries(decision.gives).map(([name, type]) =>
      xml.spoken('outputEntry', literal(type, rule.then[name] ?? null)),
    ),
    xml.spoken('annotationEntry', rule.because ?? ''),
    xml.spoken('annotationEntry', rule.source ?? ''),
  );
}

/** An outcome as the expression language writes it. */
function literal(type: FactType, value: OutcomeValue | readonly OutcomeValue[]): string {
  if (Array.isArray(value)) return `[${value.map((item: OutcomeValue) => literal(type, item)).join(', ')}]`;
  if (value === null) return 'null';
  if (type.type === 'enum' || type.type === 'text') return quoted(String(value));
  return type.type === 'date' ? `date(${quoted(String(value))})` : String(value);
}

/** Rules so that each stands before those it overrides, and otherwise as they were. */
function exceptionsFirst(rules: readonly PolicyRule[]): PolicyRule[] {
  const ordered: PolicyRule[] = [];
  const placed = new Set<string>();
  const overriddenBy = (base: PolicyRule): PolicyRule[] =>
    rules.filter(({ overrides }) => overrides?.includes(base.id));
  const place = (rule: PolicyRule): void => {
    if (placed.has(rule.id)) return;
    placed.add(rule.id);
    for (const exception of overriddenBy(rule)) place(exception);
    ordered.push(rule);
  };
  for (const rule of rules) place(rule);
  return ordered;
}
