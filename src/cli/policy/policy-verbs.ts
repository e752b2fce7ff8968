import type { Verb } from '../verb.js';

const FILES = `  FILE|ID...              policies; a FILE ends in .json, an ID is that of a shipped one, as in us-powered-furniture/1`;
const CASE = `  FILE|ID                 policy; a FILE ends in .json, an ID is that of a shipped one
  --facts FILE            JSON object of names and values; - reads standard input. What is left out is not yet known
  --on DATE               day whose parameters hold (default: the fact that the policy names in "governedBy")
  --decision ID           only this decision (default: all)`;
const CLAIMS = `  --claims FILE           past claims, one JSON object a line, {"on":"2026-03-01","facts":{...}}: how many fall in each finding`;
const EXITS = 'Exit codes: 0 clean, 1 findings, 2 bad input.';

/** Verbs for people who write policies. */
export const POLICY_VERBS: Readonly<Record<string, Verb>> = {
  'policy check': {
    summary: 'everything that can be said of a policy without a claim',
    usage: `policy check FILE|ID... [--all] [--json] [--claims FILE]

${FILES}
  --all                   also what is for information only
  --json                  one JSON object a policy
${CLAIMS}

Findings are lines: file:decision/rule/column:from-to  message. ${EXITS}`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).checkPolicies(args, io),
  },
  'policy gaps': {
    summary: 'claims for which no rule of a policy speaks',
    usage: `policy gaps FILE|ID... [--json] [--claims FILE]\n\n${FILES}\n${CLAIMS}\n\n${EXITS}`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).policyGaps(args, io),
  },
  'policy overlaps': {
    summary: 'rules of a policy that hold together',
    usage: `policy overlaps FILE|ID... [--json] [--claims FILE]\n\n${FILES}\n${CLAIMS}\n\n${EXITS}`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).policyOverlaps(args, io),
  },
  'policy test': {
    summary: 'run the examples of a policy',
    usage: `policy test FILE|ID... [--json]\n\n${FILES}\n\nExit codes: 0 all pass, 1 some fail, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).testPolicies(args, io),
  },
  'policy coverage': {
    summary: 'rules and boundaries of a policy that no example tries',
    usage: `policy coverage FILE|ID... [--json|--candidates]

${FILES}
  --candidates            print examples for what is not tried; they expect what the policy says today, so check them

${EXITS}`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).policyCoverage(args, io),
  },
  'policy mutate': {
    summary: 'whether the examples of a policy notice small mistakes',
    usage: `policy mutate FILE|ID... [--json|--candidates] [--most N]

${FILES}
  --candidates            print examples that would notice the rest; they expect what the policy says today, so check them
  --most N                try at most N changes (default 3000)

${EXITS}`,
    run: async (args, io) => (await import('../verbs/policy-check.js')).mutatePolicies(args, io),
  },
  'policy eval': {
    summary: 'what a policy says of facts',
    usage: `policy eval FILE|ID --facts FILE [options]

${CASE}

Prints one JSON object. Exit codes: 0 decided, 1 facts are needed or no rule speaks, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-run.js')).evaluatePolicy(args, io),
  },
  'policy why': {
    summary: 'the way to each outcome of a policy: rules, cells, values, parameters, sources',
    usage: `policy why FILE|ID --facts FILE [options]

${CASE}

Prints one JSON object. Exit codes: 0 decided, 1 facts are needed or no rule speaks, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-run.js')).whyPolicy(args, io),
  },
  'policy why-not': {
    summary: 'what stands against another outcome of a policy',
    usage: `policy why-not FILE|ID --facts FILE --outcome NAME=VALUE [options]

${CASE}
  --outcome NAME=VALUE    outcome that is not given, as in remedy=refund

Prints one JSON object. Exit codes: 0 done, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-run.js')).whyNotPolicy(args, io),
  },
  'policy diff': {
    summary: 'for which claims two versions of a policy differ, exactly',
    usage: `policy diff OLD NEW [--json] [--claims FILE]

  OLD, NEW                policies; a FILE ends in .json, an ID is that of a shipped one
${CLAIMS}, the most first

Exit codes: 0 the same, 1 they differ, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-run.js')).diffPolicyFiles(args, io),
  },
  'policy fmt': {
    summary: 'a policy in its one written form',
    usage: `policy fmt FILE|ID | policy fmt --write FILE... | policy fmt --check FILE...

  FILE                    policy file; without an option it is printed
  --write                 write the files
  --check                 name the files that are in another form

Exit codes: 0 done, 1 --check found some, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-format.js')).formatPolicies(args, io),
  },
  'policy export': {
    summary: 'a policy as DMN 1.3 XML, CSV, Markdown or JSON',
    usage: `policy export FILE|ID [--as dmn|csv|md|json] [--on DATE] [--to FILE]

  FILE|ID                 policy; a FILE ends in .json, an ID is that of a shipped one
  --as FORMAT             dmn (default), csv, md or json
  --on DATE               day whose parameter values other programs see (default: today); dmn only
  --to FILE               where it goes (default: it is printed)

What the format says differently goes to standard error. Exit codes: 0 done, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-exchange.js')).exportPolicy(args, io),
  },
  'policy import': {
    summary: 'a policy from a decision model, DMN 1.2 to 1.5 XML',
    usage: `policy import FILE.dmn [--head FILE] [--to FILE]

  FILE.dmn                decision model; - reads standard input. Entities are refused, nothing is fetched
  --head FILE             JSON object with what a foreign model does not say of itself: id, title, jurisdiction, caution,
                          governedBy, zone, money
  --to FILE               where the policy goes (default: it is printed)

What cannot be run as a policy is refused as file:line:column with its reason; what was left out because it decides nothing is
told. Exit codes: 0 done, 2 bad input.`,
    run: async (args, io) => (await import('../verbs/policy-exchange.js')).importPolicy(args, io),
  },
};
