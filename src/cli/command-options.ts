import { Misused } from './verb.js';

/** Arguments of one verb, taken apart. */
export interface CommandOptions {
  readonly operands: readonly string[];
  readonly options: ReadonlyMap<string, string>;
  /** Options without a value that were given. */
  readonly flags: ReadonlySet<string>;
}

/**
 * Takes arguments apart: `--name VALUE` and `--name=VALUE` for the options named, everything else is an operand; after `--` nothing
 * is an option. `-` is an operand.
 * @param bare options that have no value
 * @throws Misused on an unknown option, one given twice, or one without its value
 */
export function readOptions(
  args: readonly string[],
  known: readonly string[],
  bare: readonly string[] = [],
): CommandOptions {
  const flags = new Set<string>();
  const operands: string[] = [];
  const options = new Map<string, string>();
  for (let at = 0; at < args.length; at += 1) {
    const argument = args[at] ?? '';
    if (argument === '--') {
      operands.push(...args.slice(at + 1));
      break;
    }
    if (argument === '-' || !argument.startsWith('-')) {
      operands.push(argument);
      continue;
    }
    if (bare.includes(argument)) {
      flags.add(argument);
      continue;
    }
    const [name, inline] = cut(argument);
    if (!known.includes(name)) {
      const all = [...known, ...bare].join(', ');
      throw new Misused(`There is no option ${argument}. The options are: ${all || 'none'}.`);
    }
    if (options.has(name)) throw new Misused(`${name} is given twice.`);
    const value = inline ?? args[(at += 1)];
    if (value === undefined || value === '') throw new Misused(`${name} needs a value.`);
    options.set(name, value);
  }
  return { operands, options, flags };
}

function cut(argument: string): [string, string | undefined] {
  const equals = argument.indexOf('=');
  return equals === -1 ? [argument, undefined] : [argument.slice(0, equals), argument.slice(equals + 1)];
}
