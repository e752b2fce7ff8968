// The same tables run by others: code generated for them, feelin (FEEL in JavaScript) and json-rules-engine.
import { evaluate } from 'feelin';
import { Engine } from 'json-rules-engine';
import { DECIMALS, testOfText } from './policy-tables.mjs';

const reads = (name) => `f[${JSON.stringify(name)}]`;

/** The tables as one function of nothing but ifs, the fastest that hand-written code could be. Takes and gives what a policy does. */
export function generatedIfs(document) {
  const lines = DECIMALS.map((name, at) => `const d${at} = Number(${reads(name)});`);
  const variable = (name) => {
    const decimal = DECIMALS.indexOf(name);
    if (decimal !== -1) return `d${decimal}`;
    const outcome = document.decisions.findIndex(({ id }) => id === name);
    return outcome === -1 ? reads(name) : `o${outcome}`;
  };
  for (const [place, { id, table }] of document.decisions.entries()) {
    lines.push(`let o${place};`);
    for (const [at, rule] of table.rules.entries()) {
      const conditions = Object.entries(rule.when).map(([column, text]) => code(variable(table.columns[column]), text));
      lines.push(
        `${at === 0 ? '' : 'else '}if (${conditions.join(' && ') || 'true'}) o${place} = ${JSON.stringify(rule.then[id])};`,
      );
    }
    lines.push(`else o${place} = ${JSON.stringify(table.otherwise[id])};`);
  }
  const outcomes = document.decisions.map(({ id }, place) => `${JSON.stringify(id)}: o${place}`);
  lines.push(`return { ${outcomes.join(', ')} };`);
  // The ceiling is what generated code would reach; the service itself generates none.
  // oxlint-disable-next-line typescript/no-implied-eval -- made of this file's own tables, to measure against.
  return new Function('f', lines.join('\n'));
}

function code(name, text) {
  const test = testOfText(text);
  const list = (sign, join) => `(${test.values.map((value) => `${name} ${sign} ${JSON.stringify(value)}`).join(join)})`;
  switch (test.kind) {
    case 'is':
      return `${name} === ${test.value}`;
    case 'in':
      return list('===', ' || ');
    case 'not':
      return list('!==', ' && ');
    case 'within':
      return `${name} >= ${test.low} && ${name} <= ${test.high}`;
    default:
      return `${name} ${test.kind} ${test.value}`;
  }
}

/**
 * Cells by feelin, each parsed once: its public functions parse on every call, but a FEEL function that they give keeps its parsed
 * body. The tables around the cells are plain loops, which stop at the first cell that does not hold and the first rule that does.
 */
export function byFeelin(document) {
  const parsed = new Map();
  const cellOf = (text) => {
    const known = parsed.get(text);
    if (known) return known;
    // FEEL's "in" takes positive tests; a negation goes around it.
    const [inner, negated] = text.startsWith('not(') ? [text.slice(4, -1), true] : [text, false];
    const test = `v in (${inner})`;
    const { value } = evaluate(`function(v) ${negated ? `not(${test})` : test}`);
    parsed.set(text, value);
    return value;
  };
  const tables = document.decisions.map(({ id, table }) => ({
    id,
    otherwise: table.otherwise[id],
    rules: table.rules.map((rule) => ({
      gives: rule.then[id],
      cells: Object.entries(rule.when).map(([column, text]) => ({ name: table.columns[column], holds: cellOf(text) })),
    })),
  }));
  return (facts) => {
    const known = { ...facts };
    for (const name of DECIMALS) known[name] = Number(facts[name]);
    const outcomes = {};
    for (const { id, rules, otherwise } of tables) {
      const hit = rules.find(({ cells }) => cells.every(({ name, holds }) => holds.invoke([known[name]]) === true));
      known[id] = outcomes[id] = hit ? hit.gives : otherwise;
    }
    return outcomes;
  };
}

/** The tables by json-rules-engine: one engine for each, rules by falling priority, stopped at the first that holds. */
export function byJsonRules(document) {
  const tables = document.decisions.map(({ id, table }) => {
    const engine = new Engine([], { allowUndefinedFacts: false });
    for (const [at, rule] of table.rules.entries()) {
      const all = Object.entries(rule.when).flatMap(([column, text]) =>
        conditions(table.columns[column], testOfText(text)),
      );
      engine.addRule({ conditions: { all }, event: { type: rule.then[id] }, priority: table.rules.length - at });
    }
    let first;
    engine.on('success', ({ type }) => {
      first ??= type;
      engine.stop();
    });
    const run = async (facts) => {
      first = undefined;
      await engine.run(facts);
      return first ?? table.otherwise[id];
    };
    return { id, run };
  });
  return async (facts) => {
    const known = { ...facts };
    for (const name of DECIMALS) known[name] = Number(facts[name]);
    const outcomes = {};
    for (const { id, run } of tables) known[id] = outcomes[id] = await run(known);
    return outcomes;
  };
}

function conditions(fact, test) {
  switch (test.kind) {
    case 'is':
      return [{ fact, operator: 'equal', value: test.value }];
    case 'in':
      return [{ fact, operator: 'in', value: test.values }];
    case 'not':
      return [{ fact, operator: 'notIn', value: test.values }];
    case 'within':
      return [
        { fact, operator: 'greaterThanInclusive', value: Number(test.low) },
        { fact, operator: 'lessThanInclusive', value: Number(test.high) },
      ];
    case '<=':
      return [{ fact, operator: 'lessThanInclusive', value: Number(test.value) }];
    default:
      return [{ fact, operator: 'greaterThan', value: Number(test.value) }];
  }
}
