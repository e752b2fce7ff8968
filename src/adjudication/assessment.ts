import { bad, good, pointer, type Fault, type Outcome } from '../kernel/outcome.js';
import { serialMatches, type Model } from '../catalogue/catalogue.contract.js';
import { findings, nextChecks, type Finding } from '../diagnosis/diagnosis.contract.js';
import {
  ChecklistWalk,
  walkFaults,
  type ChecklistItem,
  type Observations,
  type UnitInHand,
} from '../inspections/inspections.contract.js';
import type { Facts } from '../policies/policies.contract.js';
import type { Assessment, AssessedFinding, ClaimFile } from './adjudication.contract.js';
import {
  documentFaults,
  photoFaults,
  policyNumbers,
  type AssessmentDocuments,
  type PolicyNumbers,
} from './domain/assessment-faults.js';
import { cautionFor } from './domain/caution.js';
import type { HolidayLookup } from './domain/claim-clocks.js';
import { claimFileFaults } from './domain/claim-consistency.js';
import { claimDates, claimFacts, matterFacts, type ClaimDates, type Matter } from './domain/claim-facts.js';
import { custodyTimeline } from './domain/custody-timeline.js';
import { carrierCases, isRebutted } from './domain/elements.js';
import {
  countedPieces,
  countItems,
  evidenceGrade,
  itemsBehind,
  scannedSerialMatches,
} from './domain/evidence-grade.js';
import { freeze, type FrozenCase } from './domain/frozen-case.js';
import { judge, type Judgement } from './domain/judge.js';
import type { JudgedCase } from './domain/judged-case.js';
import { needsOf, photoNeeds } from './domain/needs.js';
import { PolicyMisfit, PolicyRun, type PolicyQuestion } from './domain/policy-run.js';
import { missingParts, partsFor, type PartNeeded } from './domain/remedy-costs.js';
import type { Answers } from './domain/responsibility.js';
import { reasonsOutsidePolicy, verdictOf } from './domain/verdict.js';
import { warrantyCover, warrantyTerm } from './domain/warranty-cover.js';
import { why, type Why } from './domain/why.js';
import { compiledModel, documentRefs, faultsOfModel, unusableSubjects, unweighedSigns } from './kept-documents.js';

/** Documents that a claim is judged by, already checked by their own modules, and the holidays of the place of delivery. */
export interface AssessmentInputs extends AssessmentDocuments {
  readonly isHoliday: HolidayLookup;
}

/**
 * Assesses a claim: what is broken, who answers for it, what the customer gets and to the cent how much, which clocks run, and what is
 * still needed. Pure and deterministic: the same inputs give the same assessment, whatever the hour.
 * @returns faults with pointers into the claim file when claim and documents contradict each other. What is merely not known becomes
 *   a `need` and the verdict `to a person`; nothing is filled in silently.
 */
export function assess(claim: ClaimFile, inputs: AssessmentInputs): Outcome<Assessment> {
  const traced = assessTraced(claim, inputs);
  return traced.ok ? good(traced.value.assessment) : traced;
}

/** An assessment with every question that it put to the policy. */
export interface TracedAssessment {
  readonly assessment: Assessment;
  readonly questions: readonly PolicyQuestion[];
  readonly judgement: Judgement;
  readonly run: PolicyRun;
  /** What the policy judged, to be kept: judged again it gives the same. */
  readonly frozen: () => FrozenCase;
}

/** The same assessment, for whoever wants to ask why. */
export function assessTraced(claim: ClaimFile, inputs: AssessmentInputs): Outcome<TracedAssessment> {
  const unit = unitInHand(claim, inputs.model);
  const walk = new ChecklistWalk(inputs.checklist, claim.inspection.answers, unit);
  const faults = inputFaults(claim, inputs, walk);
  if (faults.length > 0) return bad(...faults);
  const dates = claimDates(claim);
  const on = dates.delivered.toString();
  const { numbers, faults: numberFaults } = policyNumbers(inputs.policy, on);
  if (numberFaults.length > 0) return bad(...numberFaults);
  const run = new PolicyRun(inputs.policy, on);
  try {
    const work = { claim, inputs, dates, numbers, run, walk: walkOf(claim, inputs.model, walk) };
    return good({ ...assembled(work), questions: run.questions, run });
  } catch (error) {
    if (!(error instanceof PolicyMisfit)) throw error;
    const detail = `The policy cannot be applied to this claim: ${error.message}.`;
    return bad({ pointer: '#/documents/policy', detail });
  }
}

/**
 * Why one value of a claim's assessment is what it is, down to rules, observations, dated parameters and sources.
 * @param pointer JSON pointer into the assessment
 * @returns the faults of the claim as `assess` finds them; `undefined` where the assessment has nothing at that place
 */
export function whyOf(claim: ClaimFile, inputs: AssessmentInputs, pointer: string): Outcome<Why | undefined> {
  const traced = assessTraced(claim, inputs);
  if (!traced.ok) return traced;
  return good(why(pointer, { ...inputs, ...traced.value, claim, on: claimDates(claim).delivered.toString() }));
}

interface Work {
  readonly claim: ClaimFile;
  readonly inputs: AssessmentInputs;
  readonly dates: ClaimDates;
  readonly numbers: PolicyNumbers;
  readonly run: PolicyRun;
  readonly walk: Walk;
}

/** What the inspection yields. */
interface Walk {
  readonly observations: Observations;
  readonly asked: readonly ChecklistItem[];
  readonly stops: readonly string[];
  readonly owed: readonly { readonly item: string; readonly demand: string }[];
  /** Items that count pieces, and what they counted short. */
  readonly counts: ReadonlySet<string>;
  readonly missing: readonly PartNeeded[];
  readonly serialMatches: boolean;
}

function assembled(work: Work): Pick<TracedAssessment, 'assessment' | 'judgement' | 'frozen'> {
  const { claim, inputs, dates, numbers, run, walk } = work;
  const { policy } = inputs;
  const compiled = compiledModel(inputs.evidenceModel);
  const found = findings(compiled, walk.observations, numbers.bar);
  const base = claimFacts(claim, dates, walk.stops.length > 0, inputs.isHoliday);
  const matters = mattersOf(found, work);
  const judged = judgedCase(work, base, matters);
  const judgement = judge(judged, { ...inputs, ...numbers, run });
  const { answers, chosen, safety, proposal, responsibility, clocks } = judgement;
  const hazard = safety.hold || safety.report || walk.stops.length > 0 || hasHazard(found);
  const needs = needsOf({
    policy: run.needs(),
    holidaysKnown: Object.hasOwn(base, 'business days to notice'),
    photos: photoNeeds(unassignedItems(answers, matters, work), walk),
    clocks: clocks.needs,
  });
  const limit = judgement.secondPersonAboveMinor;
  const unweighed = unweighedSigns(compiled, walk.observations);
  const verdict = verdictOf({
    findings: found,
    unweighed,
    responsibility,
    chosen,
    needs,
    safety,
    secondPersonAboveMinor: limit,
    jurisdictions: { claim: claim.jurisdiction, policy: policy.document.jurisdiction },
  });
  const assessment: Assessment = {
    format: 'assessment/1',
    title: claim.title,
    documents: documentRefs(inputs),
    findings: found.flatMap((finding) => assessedFinding(finding, matters)),
    responsibility,
    remedy: proposal,
    recovery: judgement.recovery,
    clocks: clocks.clocks,
    elements: carrierCases({
      claim,
      policy,
      matters: matters.map((matter) => ({ matter })),
      responsibility,
      clocks: clocks.clocks,
    }),
    custody: custodyTimeline(claim),
    safetyStops: walk.stops,
    needs,
    nextChecks: nextChecks(compiled, walk.observations, numbers.bar),
    rules: run.rules(),
    ...verdict,
    secondPersonAboveMinor: limit ?? 0,
    caution: cautionFor(policy.document.caution, hazard),
  };
  const outside = reasonsOutsidePolicy(found, unweighed).length;
  const frozen = (): FrozenCase => freeze(judged, { parties: claim.parties, outside, by: inputs });
  return { assessment, judgement, frozen };
}

/** A claim's matters: its findings, and the claim itself where it is a return or nothing was found. */
function mattersOf(found: readonly Finding[], work: Work): Matter[] {
  const { claim } = work;
  const matters = found.map((finding) => matterOf(finding, work));
  return claim.ground === 'return' || found.length === 0 ? [...matters, matterOf(undefined, work)] : matters;
}

function matterOf(finding: Finding | undefined, work: Work): Matter {
  const { claim, inputs, dates, walk } = work;
  const { model } = inputs;
  const items = finding
    ? itemsBehind(inputs.evidenceModel, finding.subject, walk.observations)
    : new Set(walk.asked.map(({ id }) => id));
  const missing = finding && [...items].some((item) => walk.counts.has(item)) ? walk.missing : [];
  const component = componentOf(finding, missing);
  return {
    about: finding?.subject ?? 'claim',
    finding,
    component,
    evidence: evidenceGrade({ items, photos: claim.photos, owed: walk.owed, serialMatches: walk.serialMatches }),
    cover: warrantyCover(warrantyTerm(model.warranty, component), dates.ageMonths),
    parts: partsFor(model, component, missing),
  };
}

/** A carton from which pieces are missing is not what the customer lacks: the component is then that of the first missing piece. */
function componentOf(finding: Finding | undefined, missing: readonly PartNeeded[]): Matter['component'] {
  const component = finding?.components[0]?.component ?? null;
  return component === 'carton' ? (missing[0]?.part.component ?? component) : component;
}

/** The claim as a policy judges it, once everything that was seen has been weighed. */
function judgedCase({ claim, inputs, dates, run }: Work, base: Facts, matters: readonly Matter[]): JudgedCase {
  const { model } = inputs;
  return {
    claim,
    model,
    on: run.on,
    ageMonths: dates.ageMonths,
    base,
    matters: matters.map((matter) => ({
      matter,
      facts: matterFacts(matter, model),
      warranty: warrantyTerm(model.warranty, matter.component),
      rebutted: isRebutted(claim, matter.finding),
    })),
  };
}

function assessedFinding(finding: Finding, matters: readonly Matter[]): AssessedFinding[] {
  const best = finding.explanations[0];
  const matter = matters.find((candidate) => candidate.finding === finding);
  if (best === undefined || matter === undefined) return [];
  const { component, fault, origin, probability } = best;
  return [{ ...finding, leading: { component, fault, origin, probability }, evidenceGrade: matter.evidence }];
}

/** Checklist items behind findings that nobody could be named to answer for. */
function unassignedItems(answers: readonly Answers[], matters: readonly Matter[], work: Work): ReadonlySet<string> {
  const items = matters.flatMap((matter, index) =>
    matter.finding && answers[index]?.mode === 'unassigned'
      ? [...itemsBehind(work.inputs.evidenceModel, matter.finding.subject, work.walk.observations)]
      : [],
  );
  return new Set(items);
}

function walkOf(claim: ClaimFile, model: Model, walk: ChecklistWalk): Walk {
  const { checklist, answers } = walk;
  const asked = walk.askedItems();
  const counts = countItems(checklist);
  return {
    observations: walk.observations(),
    asked,
    stops: walk.raisedStops().map(({ id }) => id),
    owed: walk.owedPhotos(claim.photos),
    counts,
    missing: missingParts(model, countedPieces(counts, answers)),
    serialMatches: scannedSerialMatches(asked, answers, claim.unit.serial),
  };
}

function inputFaults(claim: ClaimFile, inputs: AssessmentInputs, walk: ChecklistWalk): Fault[] {
  const { model } = inputs;
  const faults = [...claimFileFaults(claim), ...documentFaults(claim, inputs), ...photoFaults(claim, walk)];
  for (const detail of unusableSubjects(inputs.evidenceModel)) {
    faults.push({ pointer: '#/documents/evidenceModel', detail });
  }
  const ofModel = faultsOfModel(model);
  for (const { pointer: at, detail } of ofModel) faults.push({ pointer: `#/model${at.slice(1)}`, detail });
  if (ofModel.length === 0 && !serialMatches(model.serialPattern, claim.unit.serial)) {
    const detail = `"${claim.unit.serial}" is not a serial number of ${model.title}; read it again from the label.`;
    faults.push({ pointer: '#/unit/serial', detail });
  }
  for (const { pointer: at, detail } of walkFaults(walk)) {
    faults.push({ pointer: `${pointer('#/inspection', 'answers')}${at.slice(1)}`, detail });
  }
  return faults;
}

function unitInHand(claim: ClaimFile, model: Model): UnitInHand {
  return {
    serial: claim.unit.serial,
    packingList: model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces })),
  };
}

function hasHazard(found: readonly Finding[]): boolean {
  return found.some(({ explanations }) => explanations[0]?.severity === 'unsafe');
}
