import { readFile, writeFile } from 'node:fs/promises';
import { formatPolicy } from '../../policies/analysis.contract.js';
import { readOptions } from '../command-options.js';
import { BadInput } from '../json-input.js';
import { overPolicies } from '../policy/policy-input.js';
import { Misused, type Io } from '../verb.js';

/** `policy fmt FILE…`: prints a policy in its one form, writes it (`--write`), or names the files that are not in it (`--check`). */
export async function formatPolicies(args: readonly string[], io: Io): Promise<number> {
  const { operands, flags } = readOptions(args, [], ['--write', '--check']);
  const [write, check] = [flags.has('--write'), flags.has('--check')];
  if (write && check) throw new Misused('Choose one of --write and --check.');
  if (!write && !check && operands.length !== 1)
    throw new Misused('Name one policy to print, or use --write or --check.');
  return overPolicies(operands, false, io, async ({ source, policy }) => {
    const text = formatPolicy(policy.document);
    if (!write && !check) {
      io.out(text.trimEnd());
      return false;
    }
    const before = await textOf(source);
    if (before === text) return false;
    if (write) await writeFile(source, text);
    io.out(`${source}  ${write ? 'written' : 'is not in the fixed form'}`);
    return check;
  });
}

async function textOf(source: string): Promise<string> {
  try {
    return await readFile(source, 'utf8');
  } catch {
    throw new BadInput(source, [{ pointer: '#', detail: 'Only files can be written or checked.' }]);
  }
}
