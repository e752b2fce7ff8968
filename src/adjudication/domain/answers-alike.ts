import { PARTIES, REMEDIES } from '../../kernel/vocabulary.js';
import type { CompiledPolicy, PolicyDecision, PolicyDocument } from '../../policies/policies.contract.js';
import { capFacts } from './cap-decision.js';
import { optionFacts, originFacts } from './claim-facts.js';
import type { FrozenCase, FrozenMatter } from './frozen-case.js';
import { PolicyRun, type Asked, type KnownCase } from './policy-run.js';

/** Parameters that the arithmetic reads by itself, or that say how it is to be applied. */
const READ_BY_ARITHMETIC =
  /^(?:share floor|use life months|second person above|released value per lb|worth bits|bar .*|sdr .*)$/;

/**
 * Decisions in which two policies may answer differently: those that were changed, and those that read what was changed. Reading is taken
 * widely, by the name standing anywhere in the decision, so that none is missed.
 * @returns undefined where more than answers may differ, so that everything must be worked out again
 */
export function affectedDecisions(was: PolicyDocument, becomes: PolicyDocument): ReadonlySet<string> | undefined {
  const around = ({ money, jurisdiction, zone, governedBy, facts, decisions }: PolicyDocument): string =>
    JSON.stringify([money, jurisdiction, zone, governedBy, sorted(facts), decisions.map(({ id }) => id)]);
  if (around(was) !== around(becomes)) return undefined;
  const names = new Set<string>();
  for (const name of new Set([...Object.keys(was.parameters), ...Object.keys(becomes.parameters)])) {
    const values = ({ parameters }: PolicyDocument): string =>
      JSON.stringify([parameters[name]?.type, parameters[name]?.values.map(({ from, value }) => [from, value])]);
    if (values(was) === values(becomes)) continue;
    if (READ_BY_ARITHMETIC.test(name)) return undefined;
    names.add(name);
  }
  const affected = new Set<string>();
  for (let before = -1; before !== affected.size;) {
    before = affected.size;
    for (const [index, decision] of becomes.decisions.entries()) {
      const other = was.decisions[index];
      const meaning = meaningOf(decision);
      const isChanged = other === undefined || meaningOf(other) !== meaning;
      if (!isChanged && ![...names].some((name) => meaning.includes(plain(name)))) continue;
      affected.add(decision.id);
      for (const name of Object.keys(decision.gives)) names.add(name);
    }
  }
  return affected;
}

/** Two policies of which a case is asked whether they answer it alike. */
export interface Compared {
  readonly was: CompiledPolicy;
  readonly becomes: CompiledPolicy;
  /** Decisions in which they may differ at all. */
  readonly affected: ReadonlySet<string>;
}

/** Answers that are remembered; past cases repeat each other in what a few decisions read. */
const MOST_REMEMBERED = 50_000;

/** Whether two policies answer everything alike that may be asked about a case. Then they come to the same outcome. */
export class AnswerComparison {
  private readonly remembered = new Map<string, boolean>();
  /** Facts that the affected decisions may read, and the days on which a dated value changes. */
  private readonly read: readonly string[];
  private readonly days: readonly string[];

  constructor(private readonly of: Compared) {
    const documents = [of.was.document, of.becomes.document];
    this.read = [...new Set(documents.flatMap((document) => factsRead(document, of.affected)))];
    this.days = documents.flatMap(({ parameters }) =>
      Object.values(parameters).flatMap(({ values }) => values.map(({ from }) => from)),
    );
  }

  /** Whether every answer about the case is the same. False also where one of them cannot be given. */
  alike(frozen: FrozenCase): boolean {
    const { affected } = this.of;
    if (affected.size === 0) return true;
    if (affected.has('cap') && !this.same((policy) => limitsOf(frozen, policy))) return false;
    const period = this.days.reduce((count, day) => (day <= frozen.on ? count + 1 : count), 0);
    return frozen.matters.every((matter) => {
      const key = this.keyOf(frozen, matter, period);
      const known = this.remembered.get(key);
      if (known !== undefined) return known;
      const alike = this.same((policy) => answersOf(frozen, matter, { policy, affected }));
      if (this.remembered.size >= MOST_REMEMBERED) this.remembered.clear();
      this.remembered.set(key, alike);
      return alike;
    });
  }

  /** Equal for matters of which the affected decisions read the same. */
  private keyOf({ base, claim }: FrozenCase, { facts, origins }: FrozenMatter, period: number): string {
    const values = this.read.map((name) => (Object.hasOwn(facts, name) ? facts[name] : base[name]));
    const asked = this.of.affected.has('party for origin') ? origins : undefined;
    // What is not known is `undefined`, which JSON would write as null, the word for what is known to be absent.
    const known = values.map((value) => (value === undefined ? '?' : '='));
    return JSON.stringify([period, claim.wish, values, known, asked]);
  }

  private same(answers: (policy: CompiledPolicy) => Iterable<string>): boolean {
    try {
      const was = [...answers(this.of.was)];
      const becomes = [...answers(this.of.becomes)];
      return was.length === becomes.length && was.every((answered, place) => answered === becomes[place]);
    } catch (error) {
      // A conflict or a fact outside its declaration: whoever works it out in full says so.
      if (error instanceof Error) return false;
      throw error;
    }
  }
}

/** Facts whose names stand in decisions, or in decisions that these may read. */
function factsRead({ decisions, facts }: PolicyDocument, affected: ReadonlySet<string>): string[] {
  const texts = new Map(decisions.map((decision) => [decision.id, meaningOf(decision)]));
  const included = new Set(affected);
  for (let before = -1; before !== included.size;) {
    before = included.size;
    const said = [...included].map((id) => texts.get(id) ?? '').join('\n');
    for (const { id, gives } of decisions)
      if (Object.keys(gives).some((name) => said.includes(plain(name)))) included.add(id);
  }
  const said = [...included].map((id) => texts.get(id) ?? '').join('\n');
  return Object.keys(facts).filter((name) => said.includes(plain(name)));
}

/** Every answer about one matter that may be asked for, as text, in an order that depends on the case alone. */
function* answersOf(
  frozen: FrozenCase,
  { facts, origins, about }: FrozenMatter,
  by: { readonly policy: CompiledPolicy; readonly affected: ReadonlySet<string> },
): Generator<string> {
  const has = (...ids: readonly string[]): string[] => ids.filter((id) => by.affected.has(id));
  const run = new PolicyRun(by.policy, frozen.on);
  const matter = run.with(run.about(frozen.base), facts, about);
  for (const id of has('notice', 'responsibility', 'safety')) yield answer(run.look(matter, [id]));
  const ofOption = has('remedy option', 'terms');
  for (const remedy of ofOption.length === 0 ? [] : REMEDIES) {
    const option = run.with(matter, optionFacts(remedy, frozen.claim.wish));
    for (const id of ofOption) yield answer(run.look(option, [id]));
  }
  if (!by.affected.has('party for origin')) return;
  for (const { origin, probability } of origins ?? []) {
    yield answer(run.look(run.with(matter, originFacts(origin, probability)), ['party for origin']));
  }
}

function* limitsOf({ claim, model, base }: FrozenCase, policy: CompiledPolicy): Generator<string> {
  const run = new PolicyRun(policy, claim.transport?.damagedOn ?? String(base['delivered on']));
  const known: KnownCase = run.about({ ...base, 'safety stop': false });
  for (const party of PARTIES) {
    if (party !== 'customer') yield answer(run.look(run.with(known, capFacts(party, claim, model)), ['cap']));
  }
}

function answer({ outcomes, needs }: Asked): string {
  return JSON.stringify([outcomes, needs.map(({ fact }) => fact)]);
}

/** What a decision does, without what is only said of it. */
function meaningOf({ id, gives, table, expression }: PolicyDecision): string {
  const said = table && {
    ...table,
    otherwiseBecause: undefined,
    rules: table.rules.map((rule) => ({ ...rule, because: undefined, source: undefined })),
  };
  return plain(JSON.stringify([id, gives, said, expression]));
}

/** Names may be written with any white space between their words. */
function plain(text: string): string {
  return text.replaceAll(/(?:\s|\\[nrt])+/g, ' ');
}

function sorted(members: object): [string, unknown][] {
  return Object.entries(members).sort(([a], [b]) => (a < b ? -1 : 1));
}
