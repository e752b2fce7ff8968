import type { PolicyDocument } from '../../../../policies/policies.contract.js';

type Fields = Readonly<Record<string, unknown>>;

/**
 * Reads a document that somebody wrote as text, as far as the sheet walks through it. What is wrong inside of that is for the checker.
 * @param id the policy that it must stay
 */
export function readDocument(
  text: string,
  id: string,
): { readonly document: PolicyDocument } | { readonly wrong: string } {
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch (error) {
    return { wrong: `It is not JSON: ${error instanceof Error ? error.message : String(error)}.` };
  }
  if (!isFields(read)) return { wrong: 'A document is an object, from { to }.' };
  if (read['id'] !== id) return { wrong: `Its id must stay ${id}; another policy has a sheet of its own.` };
  const wrong = firstWrong(read);
  if (wrong !== undefined) return { wrong };
  // Everything that the sheet walks through is there and of its kind.
  return { document: read as unknown as PolicyDocument };
}

/** The first place that the sheet could not walk through, in a sentence. */
function firstWrong(read: Fields): string | undefined {
  for (const name of ['title', 'caution', 'jurisdiction', 'governedBy', 'zone'])
    if (typeof read[name] !== 'string') return `${name} must be a text.`;
  const { money, facts, parameters, decisions, examples, clocks = [] } = read;
  if (!isFields(money) || typeof money['currency'] !== 'string' || typeof money['rounding'] !== 'string')
    return 'money must have a currency and a rounding, as texts.';
  if (!isFields(facts)) return 'facts must be an object, from { to }.';
  if (!isFields(parameters)) return 'parameters must be an object, from { to }.';
  return (
    wrongIn(Object.entries(facts), 'fact', wrongType) ??
    wrongIn(Object.entries(parameters), 'parameter', wrongParameter) ??
    wrongInList(decisions, 'decisions', wrongDecision) ??
    wrongInList(examples, 'examples', wrongExample) ??
    wrongInList(clocks, 'clocks', wrongClock)
  );
}

type Wrong = (of: Fields) => string | undefined;

function wrongIn(of: readonly (readonly [string, unknown])[], what: string, wrong: Wrong): string | undefined {
  for (const [name, each] of of) {
    const says = isFields(each) ? wrong(each) : 'must be an object, from { to }';
    if (says !== undefined) return `The ${what} ${name}: ${says}.`;
  }
  return undefined;
}

/** Things with ids of their own. */
function wrongInList(list: unknown, what: string, wrong: Wrong): string | undefined {
  if (!Array.isArray(list)) return `${what} must be a list, from [ to ].`;
  const nameless = list.findIndex((each: unknown) => !isFields(each) || typeof each['id'] !== 'string');
  if (nameless >= 0) return `Number ${nameless + 1} of ${what} has no id.`;
  const named = list as readonly (Fields & { readonly id: string })[];
  return wrongIn(
    named.map((each) => [each.id, each] as const),
    `one of ${what} with the id`,
    wrong,
  );
}

function wrongType(of: Fields): string | undefined {
  if (typeof of['type'] !== 'string') return 'type must be a text';
  if (of['type'] === 'enum' && !areTexts(of['values'])) return 'values must be a list of texts';
  return notPlain(of, ['min', 'max', 'scale', 'optional', 'list']) ?? notText(of, ['ask']);
}

/** The first of some members that is neither absent nor a single value. */
function notPlain(of: Fields, names: readonly string[]): string | undefined {
  const odd = names.find((name) => of[name] !== undefined && !isPlain(of[name]));
  return odd === undefined ? undefined : `${odd} must be a single value`;
}

function notText(of: Fields, names: readonly string[]): string | undefined {
  const odd = names.find((name) => of[name] !== undefined && typeof of[name] !== 'string');
  return odd === undefined ? undefined : `${odd} must be a text`;
}

function isPlain(value: unknown): boolean {
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
}

/** What a rule or an example gives: single values, null, or lists of them. */
function notGiven(of: Fields): string | undefined {
  const fine = (value: unknown): boolean => value === null || isPlain(value);
  const odd = Object.entries(of).find(([, value]) => !fine(value) && !(Array.isArray(value) && value.every(fine)));
  return odd === undefined ? undefined : `${odd[0]} must be a value or a list of values`;
}

function wrongClock(clock: Fields): string | undefined {
  const lists = Object.keys(clock).filter((name) => Array.isArray(clock[name]));
  const odd = lists.find((name) => !(clock[name] as readonly unknown[]).every(isPlain));
  if (odd !== undefined) return `${odd} must be a list of single values`;
  return notPlain(
    clock,
    Object.keys(clock).filter((name) => !lists.includes(name)),
  );
}

function wrongParameter({ type, unit = '', values }: Fields): string | undefined {
  if (typeof type !== 'string' || typeof unit !== 'string') return 'type and unit must be texts';
  const isDated = (each: unknown): boolean =>
    isFields(each) &&
    typeof each['from'] === 'string' &&
    isPlain(each['value']) &&
    notText(each, ['because', 'source']) === undefined;
  const dated = Array.isArray(values) && values.every(isDated);
  return dated ? undefined : 'values must be a list of objects with from and value';
}

function wrongDecision({ title = '', gives, table, expression }: Fields): string | undefined {
  if (typeof title !== 'string') return 'title must be a text';
  if (!isFields(gives)) return 'gives must be an object, from { to }';
  const outcome = wrongIn(Object.entries(gives), 'outcome', wrongType);
  if (outcome !== undefined) return outcome.replace(/\.$/, '');
  if (table === undefined) return typeof expression === 'string' ? undefined : 'it needs a table or an expression';
  if (!isFields(table) || !isFields(table['columns']) || typeof table['hit'] !== 'string')
    return 'its table must have hit and columns';
  if (!Object.values(table['columns']).every((each) => typeof each === 'string')) return 'columns must be texts';
  const { otherwise = {} } = table;
  if (!isFields(otherwise)) return 'otherwise must be an object';
  const odd = notGiven(otherwise) ?? notText(table, ['aggregate', 'otherwiseBecause']);
  if (odd !== undefined) return `otherwise: ${odd}`;
  return wrongInList(table['rules'], 'rules', wrongRule)?.replace(/\.$/, '');
}

function wrongRule(rule: Fields): string | undefined {
  const { when, then: outcomes, overrides = [] } = rule;
  if (!isFields(when) || !Object.values(when).every((each) => typeof each === 'string'))
    return 'when must be an object of texts';
  if (!isFields(outcomes)) return 'then must be an object';
  if (!areTexts(overrides)) return 'overrides must be a list of texts';
  return notGiven(outcomes) ?? notText(rule, ['because', 'source']);
}

function wrongExample({ on, given, expect, decisions = [] }: Fields): string | undefined {
  if (typeof on !== 'string') return 'on must be a date as a text';
  if (!isFields(given) || !isFields(expect)) return 'given and expect must be objects';
  if (!areTexts(decisions)) return 'decisions must be a list of texts';
  return notGiven(given) ?? notGiven(expect);
}

function areTexts(value: unknown): boolean {
  return Array.isArray(value) && value.every((each) => typeof each === 'string');
}

function isFields(value: unknown): value is Fields {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
