import { compilePolicy, type CompiledPolicy, type Facts, type PolicyFault } from '../../policies/policies.contract.js';
import { policyJson } from '../claim-documents.js';
import { BadInput, DOCUMENT_BYTES, readJson } from '../json-input.js';
import { EXIT, Misused, type Io } from '../verb.js';

/** A policy that was named on the command line. */
export interface NamedPolicy {
  readonly source: string;
  readonly policy: CompiledPolicy;
}

/** Where in a policy something is: `decision/rule/column:from-to`, as far as it is known. */
export function placeOf(at: Omit<PolicyFault, 'detail'>): string {
  const path = [at.decision, at.rule, at.column].filter((step) => step !== undefined).join('/');
  return at.from === undefined || at.to === undefined ? path : `${path}:${at.from}-${at.to}`;
}

/** One line for something found in a file: `file:decision/rule/column:from-to  message`. */
export function findingLine(source: string, at: Omit<PolicyFault, 'detail'>, message: string): string {
  const place = placeOf(at);
  return `${source}:${place}${place === '' ? '' : ' '} ${message}`;
}

/**
 * Runs a verb over every policy named. The faults of those that do not compile are told like findings, and the rest is still run.
 * @param work prints what it finds, and says whether that is anything
 * @returns 2 where a policy does not compile, else 1 where anything was found, else 0
 * @throws Misused when none is named; BadInput when a file is not there or not JSON
 */
export async function overPolicies(
  operands: readonly string[],
  asJson: boolean,
  io: Io,
  work: (named: NamedPolicy) => boolean | Promise<boolean>,
): Promise<number> {
  if (operands.length === 0)
    throw new Misused('Name at least one policy: a file that ends in .json, or the id of a shipped one.');
  let code: number = EXIT.ok;
  for (const named of operands) {
    const { source, json } = await policyJson(named, io);
    const outcome = compilePolicy(json);
    if (!outcome.ok) {
      sayFaults(source, outcome.faults, asJson, io);
      code = EXIT.badInput;
    } else if (await work({ source, policy: outcome.policy })) code = Math.max(code, EXIT.findings);
  }
  return code;
}

function sayFaults(source: string, faults: readonly PolicyFault[], asJson: boolean, io: Io): void {
  for (const { detail, ...at } of faults) io.err(findingLine(source, at, detail));
  if (asJson) io.out(JSON.stringify({ format: 'policy-faults/1', file: source, faults }));
}

/** One policy. @throws Misused unless exactly one is named; BadInput with every fault when it does not compile */
export async function onePolicy(operands: readonly string[], io: Io): Promise<NamedPolicy> {
  const [named] = operands;
  if (named === undefined || operands.length > 1) throw new Misused('Name one policy.');
  return compiledPolicy(named, io);
}

/** @throws BadInput with every fault when it does not compile */
export async function compiledPolicy(named: string, io: Io): Promise<NamedPolicy> {
  const { source, json } = await policyJson(named, io);
  const outcome = compilePolicy(json);
  if (outcome.ok) return { source, policy: outcome.policy };
  throw new BadInput(
    source,
    outcome.faults.map((fault) => ({ pointer: '#', ...fault, detail: `${placeOf(fault)} ${fault.detail}`.trim() })),
  );
}

/** Facts of a claim from a JSON file: an object of names and values. @throws BadInput */
export async function readFacts(file: string, io: Io): Promise<Facts> {
  const json = await readJson(file, DOCUMENT_BYTES, io);
  if (typeof json !== 'object' || json === null || Array.isArray(json)) {
    throw new BadInput(file, [{ pointer: '#', detail: 'Facts are one JSON object of names and values.' }]);
  }
  const faults = Object.entries(json).flatMap(([name, value]) =>
    value === null || ['string', 'number', 'boolean'].includes(typeof value)
      ? []
      : [{ pointer: `#/${name}`, detail: 'A fact is text, a whole number, true, false or null.' }],
  );
  if (faults.length > 0) throw new BadInput(file, faults);
  return json as Facts;
}
