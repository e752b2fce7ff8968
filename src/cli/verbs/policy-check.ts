import {
  analysePolicy,
  coverageOf,
  mutationCheckOf,
  periodWords,
  runExamples,
  type FindingKind,
  type PolicyFinding,
} from '../../policies/analysis.contract.js';
import { readOptions } from '../command-options.js';
import { findingLine, overPolicies } from '../policy/policy-input.js';
import { readClaims, withClaims } from '../policy/policy-claims.js';
import { Misused, type Io } from '../verb.js';

/** `policy check FILE…`: everything that the analysis says. */
export async function checkPolicies(args: readonly string[], io: Io): Promise<number> {
  return findingsOf(args, io, undefined);
}

/** `policy gaps FILE…`: facts for which no rule speaks. */
export async function policyGaps(args: readonly string[], io: Io): Promise<number> {
  return findingsOf(args, io, 'gap');
}

/** `policy overlaps FILE…`: rules that hold together. */
export async function policyOverlaps(args: readonly string[], io: Io): Promise<number> {
  return findingsOf(args, io, 'overlap');
}

async function findingsOf(args: readonly string[], io: Io, kind: FindingKind | undefined): Promise<number> {
  const { operands, options, flags } = readOptions(args, ['--claims'], ['--json', '--all']);
  const file = options.get('--claims');
  const claims = file === undefined ? undefined : await readClaims(file, io);
  return overPolicies(operands, flags.has('--json'), io, ({ source, policy }) => {
    const analysis = analysePolicy(policy);
    const wanted = analysis.findings.filter((finding) => kind === undefined || finding.kind === kind);
    const findings = withClaims(policy, wanted, claims);
    const more = analysis.more.filter((each) => kind === undefined || each.kind === kind);
    if (flags.has('--json')) {
      const { id, version } = policy.document;
      io.out(
        JSON.stringify({ format: 'policy-findings/1', file: source, id, version, hash: policy.hash, findings, more }),
      );
    } else {
      const shown = findings.filter(
        ({ severity }) => severity !== 'information' || flags.has('--all') || kind !== undefined,
      );
      for (const finding of shown) io.out(findingText(source, finding));
      for (const { decision, kind: which, atLeast } of more) {
        io.out(findingLine(source, { decision }, `${which}: at least ${atLeast} more.`));
      }
      const left = findings.length - shown.length;
      if (left > 0) io.err(`${source}: ${left} more for information; --all shows them.`);
    }
    return more.length > 0 || findings.some(({ severity }) => severity !== 'information');
  });
}

/** A finding as one line: place, severity, sentence, period, example, claims. */
function findingText(source: string, finding: PolicyFinding): string {
  const { decision, rules, column, from, to, severity, detail, period, example, recentClaims } = finding;
  const [rule] = rules;
  const at = {
    ...(decision === undefined ? {} : { decision }),
    ...(rule === undefined ? {} : { rule }),
    ...(column === undefined ? {} : { column }),
    ...(from === undefined ? {} : { from }),
    ...(to === undefined ? {} : { to }),
  };
  const parts = [
    `${severity}: ${detail}`,
    ...(period ? [`True ${periodWords(period)}.`] : []),
    ...(example ? [`Example: ${example.words}.`] : []),
    ...(recentClaims === undefined
      ? []
      : [`${recentClaims} of the claims ${recentClaims === 1 ? 'falls' : 'fall'} here.`]),
  ];
  return findingLine(source, at, parts.join(' '));
}

/** `policy test FILE…`: runs the examples. */
export async function testPolicies(args: readonly string[], io: Io): Promise<number> {
  const { operands, flags } = readOptions(args, [], ['--json']);
  return overPolicies(operands, flags.has('--json'), io, ({ source, policy }) => {
    const examples = runExamples(policy);
    const failed = examples.filter(({ passed }) => !passed);
    if (flags.has('--json')) io.out(JSON.stringify({ format: 'policy-examples/1', file: source, examples }));
    else {
      for (const { id, differences } of failed) io.out(`${source}:examples/${id}  ${differences.join(' ')}`);
      io.out(`${source}: ${examples.length - failed.length} of ${examples.length} examples pass.`);
    }
    return failed.length > 0;
  });
}

/** `policy coverage FILE…`: what the examples try. */
export async function policyCoverage(args: readonly string[], io: Io): Promise<number> {
  const { operands, flags } = readOptions(args, [], ['--json', '--candidates']);
  return overPolicies(operands, flags.has('--json'), io, ({ source, policy }) => {
    const coverage = coverageOf(policy);
    if (flags.has('--json')) io.out(JSON.stringify({ format: 'policy-coverage/1', file: source, ...coverage }));
    else if (flags.has('--candidates')) io.out(JSON.stringify(coverage.candidates, null, 2));
    else {
      for (const { decision, rules, rulesHit, neverHit, sides, sidesTouched, untouched } of coverage.decisions) {
        io.out(`${source}:${decision}  ${rulesHit} of ${rules} rules, ${sidesTouched} of ${sides} sides of boundaries`);
        for (const rule of neverHit) io.out(findingLine(source, { decision, rule }, 'No example makes it decide.'));
        for (const { column, words, side } of untouched) {
          io.out(findingLine(source, { decision, column }, `No example lies directly ${side} the end ${words}.`));
        }
      }
      io.out(`${source}: rules ${coverage.rulesPercent} %, boundaries ${coverage.boundariesPercent} %.`);
      if (coverage.candidates.length > 0)
        io.err(`--candidates prints ${coverage.candidates.length} examples for the rest.`);
    }
    return coverage.rulesPercent < 100 || coverage.boundariesPercent < 100;
  });
}

/** `policy mutate FILE…`: whether the examples notice small changes. */
export async function mutatePolicies(args: readonly string[], io: Io): Promise<number> {
  const { operands, options, flags } = readOptions(args, ['--most'], ['--json', '--candidates']);
  const most = options.get('--most');
  if (most !== undefined && !/^[1-9]\d{0,5}$/.test(most)) throw new Misused('--most takes a whole number from 1.');
  return overPolicies(operands, flags.has('--json'), io, ({ source, policy }) => {
    const failing = runExamples(policy).filter(({ passed }) => !passed);
    for (const { id, differences } of failing) io.out(`${source}:examples/${id}  ${differences.join(' ')}`);
    if (failing.length > 0) return true;
    const check = mutationCheckOf(policy, most === undefined ? undefined : Number(most));
    const { tried, noticed, survivors, equivalent, leftOut } = check;
    if (flags.has('--json')) io.out(JSON.stringify({ format: 'policy-mutants/1', file: source, ...check }));
    else if (flags.has('--candidates')) {
      io.out(
        JSON.stringify(
          survivors.flatMap(({ candidate }) => (candidate ? [candidate] : [])),
          null,
          2,
        ),
      );
    } else {
      for (const { decision, rule, column, detail } of survivors) {
        const at = { decision, ...(rule === undefined ? {} : { rule }), ...(column === undefined ? {} : { column }) };
        io.out(findingLine(source, at, detail.slice(detail.indexOf(': ') + 2)));
      }
      const rest = leftOut === 0 ? '' : ` ${leftOut} were not tried.`;
      io.out(
        `${source}: the examples notice ${noticed} of ${tried} small changes; ${equivalent} change nothing for any claim.${rest}`,
      );
    }
    return survivors.length > 0;
  });
}
