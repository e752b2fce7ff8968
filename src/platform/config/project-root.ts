import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';

let found: string | undefined;

/** The folder that holds package.json, whether the code runs from src or from dist. */
export function projectRoot(): string {
  found ??= nearestWithPackage(import.meta.dirname);
  return found;
}

function nearestWithPackage(from: string): string {
  for (let at = from; ; at = dirname(at)) {
    if (existsSync(join(at, 'package.json'))) return at;
    if (dirname(at) === at) throw new Error(`no package.json above ${from}`);
  }
}
