import { BadInput } from './json-input.js';
import { EXIT, Misused, type Io, type Verb } from './verb.js';

/** Name by which people call this program. */
const PROGRAM = 'npm run -s as-noted --';

/**
 * Runs one command line. User errors become sentences and exit code 2, never a stack trace; a fault of the program itself becomes
 * exit code 3 with its trace, because someone has to repair it.
 * @param args what follows the program's name
 * @returns exit code
 */
export async function runCommandLine(
  args: readonly string[],
  verbs: Readonly<Record<string, Verb>>,
  io: Io,
): Promise<number> {
  const asked = helpAsked(args);
  if (asked !== undefined) return help(asked, verbs, io);
  const found = findVerb(args, verbs);
  if (found === undefined) {
    io.err(args.length === 0 ? 'Say what to do.' : `There is no verb "${args.slice(0, 2).join(' ')}".`);
    io.err(overview(verbs));
    return EXIT.badInput;
  }
  const { name, verb, rest } = found;
  try {
    return await verb.run(rest, io);
  } catch (error) {
    if (error instanceof Misused) {
      io.err(`${error.message}\n\nUsage: ${PROGRAM} ${verb.usage}`);
      return EXIT.badInput;
    }
    if (error instanceof BadInput) return sayFaults(error, io);
    if (error instanceof Error && error.name === 'ConfigFaults') {
      // By name: the configuration is loaded only by the verbs that need it.
      io.err(error.message);
      return EXIT.badInput;
    }
    io.err(`${name} failed inside the program; please report this.`);
    io.err(error instanceof Error ? (error.stack ?? error.message) : String(error));
    return EXIT.failed;
  }
}

/** Verbs have one word or two; two are tried first. */
function findVerb(
  args: readonly string[],
  verbs: Readonly<Record<string, Verb>>,
): { readonly name: string; readonly verb: Verb; readonly rest: readonly string[] } | undefined {
  for (const words of [2, 1]) {
    const name = args.slice(0, words).join(' ');
    const verb = args.length >= words && Object.hasOwn(verbs, name) ? verbs[name] : undefined;
    if (verb) return { name, verb, rest: args.slice(words) };
  }
  return undefined;
}

/** The verb whose help is asked for, an empty list for the overview, undefined when none is. */
function helpAsked(args: readonly string[]): readonly string[] | undefined {
  if (args[0] === 'help') return args.slice(1);
  const at = args.findIndex((argument) => argument === '--help' || argument === '-h');
  const end = args.indexOf('--');
  return at !== -1 && (end === -1 || at < end) ? args.slice(0, at) : undefined;
}

function help(asked: readonly string[], verbs: Readonly<Record<string, Verb>>, io: Io): number {
  const found = findVerb(asked, verbs);
  if (found) {
    io.out(`Usage: ${PROGRAM} ${found.verb.usage}`);
    return EXIT.ok;
  }
  if (asked.length === 0) {
    io.out(overview(verbs));
    return EXIT.ok;
  }
  io.err(`There is no verb "${asked.join(' ')}".`);
  io.err(overview(verbs));
  return EXIT.badInput;
}

function overview(verbs: Readonly<Record<string, Verb>>): string {
  const width = Math.max(4, ...Object.keys(verbs).map((name) => name.length));
  const rows = Object.entries(verbs).map(([name, { summary }]) => `  ${name.padEnd(width)}  ${summary}`);
  return [`Usage: ${PROGRAM} VERB`, '', ...rows, `  ${'help'.padEnd(width)}  how to use a verb: help VERB`].join('\n');
}

/** Sentences for people first, then one line of JSON for programs. */
function sayFaults(error: BadInput, io: Io): number {
  io.err(`${error.message}:`);
  for (const { pointer, detail } of error.faults) io.err(pointer === '#' ? `  ${detail}` : `  ${pointer}  ${detail}`);
  io.err(JSON.stringify({ format: 'faults/1', source: error.source, faults: error.faults }));
  return EXIT.badInput;
}
