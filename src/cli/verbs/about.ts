import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { projectRoot } from '../../platform/config/project-root.js';
import { readOptions } from '../command-options.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** `schema`: prints the JSON Schema (2020-12) of the claim file. */
export async function printSchema(args: readonly string[], io: Io): Promise<number> {
  withoutArguments('schema', args);
  io.out(readFileSync(join(projectRoot(), 'docs', 'claim-file.schema.json'), 'utf8').trimEnd());
  return EXIT.ok;
}

/** `version`: prints name and version. */
export async function printVersion(args: readonly string[], io: Io): Promise<number> {
  withoutArguments('version', args);
  const manifest = JSON.parse(readFileSync(join(projectRoot(), 'package.json'), 'utf8')) as {
    readonly name: string;
    readonly version: string;
  };
  io.out(`${manifest.name} ${manifest.version}`);
  return EXIT.ok;
}

function withoutArguments(verb: string, args: readonly string[]): void {
  if (readOptions(args, []).operands.length > 0) throw new Misused(`${verb} takes no arguments.`);
}
