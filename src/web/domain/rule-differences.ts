import type {
  OutcomeValue,
  Parameter,
  PolicyDecision,
  PolicyDocument,
  PolicyRule,
} from '../../policies/policies.contract.js';

/** A text that is not what it was; a side that is absent was not there. */
export interface ChangedText {
  /** What it is: a column, an outcome, the reason. */
  readonly name: string;
  readonly was?: string;
  readonly becomes?: string;
}

/** A rule of a table that came, went, or changed in some of its texts. */
export interface RuleDifference {
  readonly rule: string;
  readonly kind: 'added' | 'removed' | 'changed' | 'moved';
  /** Every text of a rule that came or went; of one that changed only those that did. */
  readonly texts: readonly ChangedText[];
}

/** What changed in the table or the expression of a decision. */
export interface DecisionDifference {
  readonly decision: string;
  readonly title: string;
  readonly kind: 'added' | 'removed' | 'changed';
  /** How many rules are word for word as before. */
  readonly same: number;
  readonly rules: readonly RuleDifference[];
  /** What changed around the rules: how the table chooses, what its columns read, the expression. */
  readonly around: readonly ChangedText[];
}

/** What changed in a dated parameter. */
export interface ParameterDifference {
  readonly name: string;
  readonly unit?: string;
  readonly values: readonly { readonly from: string; readonly was?: string; readonly becomes?: string }[];
}

/** Decisions whose rules are not word for word what they were, in the order of the later document. */
export function ruleDifferences(was: PolicyDocument, becomes: PolicyDocument): DecisionDifference[] {
  const before = new Map(was.decisions.map((decision) => [decision.id, decision]));
  const after = new Set(becomes.decisions.map(({ id }) => id));
  return [
    ...becomes.decisions.map((decision) => decisionDifference(before.get(decision.id), decision)),
    ...was.decisions.filter(({ id }) => !after.has(id)).map((decision) => decisionDifference(decision, undefined)),
  ].filter(({ kind, rules, around }) => kind !== 'changed' || rules.length > 0 || around.length > 0);
}

function decisionDifference(was: PolicyDecision | undefined, becomes: PolicyDecision | undefined): DecisionDifference {
  const [before, after] = [rulesOf(was), rulesOf(becomes)];
  const rules = rulesThatDiffer(before, after);
  const kept = [...after.keys()].filter((id) => before.has(id)).length;
  const shown = becomes ?? was;
  return {
    decision: shown?.id ?? '',
    title: shown?.title ?? shown?.id ?? '',
    kind: was === undefined ? 'added' : becomes === undefined ? 'removed' : 'changed',
    same: kept - rules.filter(({ kind }) => kind === 'changed' || kind === 'moved').length,
    rules,
    around: changedTexts(around(was), around(becomes)),
  };
}

type Texts = ReadonlyMap<string, string>;

function rulesThatDiffer(before: ReadonlyMap<string, Texts>, after: ReadonlyMap<string, Texts>): RuleDifference[] {
  const moved = movedOnes([...before.keys()], [...after.keys()]);
  const differences = [...after].flatMap(([rule, texts]): RuleDifference[] => {
    const old = before.get(rule);
    if (old === undefined) return [{ rule, kind: 'added', texts: changedTexts(new Map(), texts) }];
    const changed = changedTexts(old, texts);
    if (changed.length > 0) return [{ rule, kind: 'changed', texts: changed }];
    return moved.has(rule) ? [{ rule, kind: 'moved', texts: [] }] : [];
  });
  const gone = [...before].filter(([rule]) => !after.has(rule));
  return [
    ...differences,
    ...gone.map(([rule, texts]) => ({ rule, kind: 'removed' as const, texts: changedTexts(texts, new Map()) })),
  ];
}

/** The fewest rules that have to be moved so that the others stand in the order they had: all but a longest rising run of old places. */
function movedOnes(before: readonly string[], after: readonly string[]): ReadonlySet<string> {
  const places = new Map(before.map((id, place) => [id, place]));
  const kept = after.filter((id) => places.has(id));
  const runs: { readonly place: number; readonly ids: readonly string[] }[] = [];
  for (const id of kept) {
    const place = places.get(id) ?? 0;
    const best = runs
      .filter((run) => run.place < place)
      .reduce<readonly string[]>((longest, { ids }) => (ids.length > longest.length ? ids : longest), []);
    runs.push({ place, ids: [...best, id] });
  }
  const stay = new Set(
    runs.reduce<readonly string[]>((longest, { ids }) => (ids.length > longest.length ? ids : longest), []),
  );
  return new Set(kept.filter((id) => !stay.has(id)));
}

/** The texts of each rule by what they are. `otherwise` is a rule of that name. */
function rulesOf(decision: PolicyDecision | undefined): ReadonlyMap<string, Texts> {
  const table = decision?.table;
  if (table === undefined) return new Map();
  const { columns, rules, otherwise, otherwiseBecause } = table;
  const entries = rules.map((rule) => [rule.id, textsOf(rule, columns)] as const);
  if (otherwise === undefined) return new Map(entries);
  const rest: PolicyRule = {
    id: 'otherwise',
    when: {},
    // oxlint-disable-next-line unicorn/no-thenable -- `then` is a key of the document format; a rule is never awaited.
    then: otherwise,
    ...(otherwiseBecause === undefined ? {} : { because: otherwiseBecause }),
  };
  return new Map([...entries, ['otherwise', textsOf(rest, columns)]]);
}

function textsOf(rule: PolicyRule, columns: Readonly<Record<string, string>>): Texts {
  return new Map([
    ...Object.entries(rule.when).map(([id, cell]) => [columns[id] ?? id, cell] as const),
    ...Object.entries(rule.then).map(([id, value]) => [`gives ${id}`, valueText(value)] as const),
    ...(rule.overrides === undefined ? [] : ([['exception to', rule.overrides.join(', ')]] as const)),
    ...(rule.because === undefined ? [] : ([['because', rule.because]] as const)),
    ...(rule.source === undefined ? [] : ([['source', rule.source]] as const)),
  ]);
}

function around(decision: PolicyDecision | undefined): Texts {
  if (decision === undefined) return new Map();
  const { table, expression } = decision;
  return new Map([
    ...(expression === undefined ? [] : ([['expression', expression]] as const)),
    ...(table === undefined
      ? []
      : ([
          ['how the table chooses', table.aggregate === undefined ? table.hit : `${table.hit} ${table.aggregate}`],
          ...Object.entries(table.columns).map(([id, reads]) => [`column ${id}`, reads] as const),
        ] as const)),
  ]);
}

function changedTexts(was: Texts, becomes: Texts): ChangedText[] {
  return [...new Set([...was.keys(), ...becomes.keys()])].flatMap((name) => {
    const [before, after] = [was.get(name), becomes.get(name)];
    if (before === after) return [];
    return [
      {
        name,
        ...(before === undefined ? {} : { was: before }),
        ...(after === undefined ? {} : { becomes: after }),
      },
    ];
  });
}

/** Dated parameters whose values or days are not what they were. */
export function parameterDifferences(was: PolicyDocument, becomes: PolicyDocument): ParameterDifference[] {
  const names = [...new Set([...Object.keys(becomes.parameters), ...Object.keys(was.parameters)])];
  return names.flatMap((name) => {
    const [before, after] = [was.parameters[name], becomes.parameters[name]];
    const [old, now] = [valuesOf(before), valuesOf(after)];
    const days = [...new Set([...old.keys(), ...now.keys()])].toSorted((a, b) => a.localeCompare(b));
    const values = days.flatMap((from) => {
      const [value, next] = [old.get(from), now.get(from)];
      if (value === next) return [];
      return [
        { from, ...(value === undefined ? {} : { was: value }), ...(next === undefined ? {} : { becomes: next }) },
      ];
    });
    const unit = (after ?? before)?.unit;
    return values.length === 0 ? [] : [{ name, ...(unit === undefined ? {} : { unit }), values }];
  });
}

function valuesOf(parameter: Parameter | undefined): ReadonlyMap<string, string> {
  return new Map((parameter?.values ?? []).map(({ from, value }) => [from, String(value)]));
}

/** An outcome as people read it. */
export function valueText(value: OutcomeValue | undefined): string {
  if (value === undefined) return '–';
  if (value === null) return 'nothing';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'object') return value.length === 0 ? 'none' : value.map(valueText).join(', ');
  return String(value);
}
