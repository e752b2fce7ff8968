import type { EvidenceModel, ObservationModel } from '../diagnosis.contract.js';
import type { Checklist } from '../../inspections/inspections.contract.js';
import type { Fault, Outcome } from '../../kernel/outcome.js';
import { bad, good, pointer } from '../../kernel/outcome.js';
import { shapeFaults } from '../../kernel/shape.js';
import type { CompiledSubject } from './compile-model.js';
import { compileModel } from './compile-model.js';
import { evidenceModelShape } from './evidence-model-shape.js';
import { at, whole } from './weighing.js';

/**
 * Reads an evidence model document. Refuses, with a pointer for every fault: wrong fields and types, likelihoods and
 * priors that are impossible (0, 1 or beyond), ids that are used twice or unknown, subjects with fewer than two
 * explanations, groups that reach across subjects, observations that inform nothing, and explanations that no evidence
 * could bring ahead of another. With a checklist it also refuses another family, observations that their item does not
 * yield, and observations of the checklist that the model leaves out.
 */
export function checkEvidenceModel(document: unknown, checklist?: Checklist): Outcome<EvidenceModel> {
  const inForm = shapeFaults(document, evidenceModelShape);
  if (inForm.length > 0) return bad(...inForm);
  // The shape has just been checked field by field.
  const model = document as EvidenceModel;
  const inIds = [...idFaults(model), ...referenceFaults(model), ...groupFaults(model)];
  if (inIds.length > 0) return bad(...inIds);
  const inMeaning = [...outrunFaults(model), ...(checklist === undefined ? [] : checklistFaults(model, checklist))];
  return inMeaning.length > 0 ? bad(...inMeaning) : good(model);
}

function idFaults(model: EvidenceModel): Fault[] {
  return (['subjects', 'explanations', 'observations'] as const).flatMap((list) => {
    const seen = new Set<string>();
    return model[list].flatMap(({ id }, index) => {
      const fresh = !seen.has(id);
      seen.add(id);
      return fresh
        ? []
        : [{ pointer: `#/${list}/${index}/id`, detail: `The id "${id}" is used twice among the ${list}.` }];
    });
  });
}

function referenceFaults(model: EvidenceModel): Fault[] {
  const subjects = new Set(model.subjects.map((one) => one.id));
  const subjectOf = new Map(model.explanations.map((one) => [one.id, one.subject]));
  const observed = new Map(model.observations.map((one) => [one.id, one]));
  const faults: Fault[] = [];
  model.subjects.forEach((subject, s) => {
    if (model.explanations.filter((one) => one.subject === subject.id).length < 2)
      faults.push({
        pointer: `#/subjects/${s}`,
        detail: `The subject "${subject.id}" has fewer than two explanations; there is nothing to weigh.`,
      });
    subject.opensOn.forEach((id, i) => {
      const at = `#/subjects/${s}/opensOn/${i}`;
      const opener = observed.get(id);
      if (opener === undefined) faults.push({ pointer: at, detail: `There is no observation "${id}".` });
      else if (!Object.hasOwn(opener.otherwise, subject.id))
        faults.push({ pointer: at, detail: `"${id}" opens the subject "${subject.id}" but says nothing about it.` });
    });
  });
  model.explanations.forEach((one, e) => {
    if (!subjects.has(one.subject))
      faults.push({ pointer: `#/explanations/${e}/subject`, detail: `There is no subject "${one.subject}".` });
  });
  model.observations.forEach((one, o) => faults.push(...observationFaults(one, o, subjects, subjectOf)));
  return faults;
}

function observationFaults(
  one: ObservationModel,
  index: number,
  subjects: ReadonlySet<string>,
  subjectOf: ReadonlyMap<string, string>,
): Fault[] {
  const base = `#/observations/${index}`;
  const faults: Fault[] = [];
  for (const subject of Object.keys(one.otherwise))
    if (!subjects.has(subject))
      faults.push({ pointer: pointer(`${base}/otherwise`, subject), detail: `There is no subject "${subject}".` });
  for (const explanation of Object.keys(one.likelihoods)) {
    const at = pointer(`${base}/likelihoods`, explanation);
    const subject = subjectOf.get(explanation);
    if (subject === undefined) faults.push({ pointer: at, detail: `There is no explanation "${explanation}".` });
    else if (!Object.hasOwn(one.otherwise, subject))
      faults.push({
        pointer: at,
        detail: `"${explanation}" belongs to "${subject}", so "otherwise" must say what holds for the rest of "${subject}".`,
      });
  }
  for (const explanation of Object.keys(one.learnt ?? {}))
    if (!Object.hasOwn(one.likelihoods, explanation))
      faults.push({
        pointer: pointer(`${base}/learnt`, explanation),
        detail: `"${explanation}" has no likelihood here that could have been learnt.`,
      });
  if (Object.keys(one.otherwise).length === 0)
    faults.push({ pointer: `${base}/otherwise`, detail: `"${one.id}" informs no subject; name one or leave it out.` });
  return faults;
}

/** Members of a group say one thing twice, so they must speak of the same subjects. */
function groupFaults(model: EvidenceModel): Fault[] {
  const first = new Map<string, ObservationModel>();
  return model.observations.flatMap((one, index) => {
    if (one.group === undefined) return [];
    const leader = first.get(one.group) ?? one;
    first.set(one.group, leader);
    const subjectsOf = (each: ObservationModel): string => Object.keys(each.otherwise).sort().join(', ');
    return subjectsOf(one) === subjectsOf(leader)
      ? []
      : [
          {
            pointer: `#/observations/${index}/group`,
            detail: `The group "${one.group}" reaches across subjects: "${leader.id}" speaks of ${subjectsOf(leader)}, "${one.id}" of ${subjectsOf(one)}.`,
          },
        ];
  });
}

/** Explanations that no evidence could ever bring ahead of some other explanation of their subject. */
function outrunFaults(model: EvidenceModel): Fault[] {
  return compileModel(model).subjects.flatMap((subject) =>
    subject.explanations.flatMap((one, e) => {
      const rival = subject.explanations.find((_, r) => r !== e && bestLead(subject, e, r) <= 0);
      if (rival === undefined) return [];
      const index = model.explanations.indexOf(one);
      return [
        {
          pointer: `#/explanations/${index}`,
          detail: `No evidence could bring "${one.id}" ahead of "${rival.id}"; give it an observation that tells them apart, or leave it out.`,
        },
      ];
    }),
  );
}

/** Largest log odds of one explanation over another that any sightings could give; of a group one member can speak. */
function bestLead(of: CompiledSubject, one: number, rival: number): number {
  const columns = of.explanations.length;
  const byGroup = new Float64Array(of.groups);
  let lead = at(of.logPrior, one) - at(of.logPrior, rival);
  for (let r = 0; r < of.rows.length; r += 1) {
    const here = r * columns;
    const best = Math.max(
      0,
      at(of.logPresent, here + one) - at(of.logPresent, here + rival),
      at(of.logAbsent, here + one) - at(of.logAbsent, here + rival),
    );
    const group = whole(of.group, r);
    if (group < 0) lead += best;
    else byGroup[group] = Math.max(at(byGroup, group), best);
  }
  return byGroup.reduce((sum, best) => sum + best, lead);
}

function checklistFaults(model: EvidenceModel, checklist: Checklist): Fault[] {
  const faults: Fault[] = [];
  if (model.family !== checklist.family)
    faults.push({
      pointer: '#/family',
      detail: `The model is for a ${model.family}, the checklist "${checklist.id}" for a ${checklist.family}.`,
    });
  const yielded = new Map<string, string>();
  for (const item of checklist.sections.flatMap((section) => section.items))
    for (const one of item.yields ?? []) yielded.set(one.observation, item.id);
  model.observations.forEach((one, index) => {
    const item = yielded.get(one.id);
    if (item === one.item) return;
    const detail =
      item === undefined
        ? `No item of the checklist "${checklist.id}" yields "${one.id}".`
        : `"${one.id}" is yielded by the item "${item}", not by "${one.item}".`;
    faults.push({ pointer: `#/observations/${index}/item`, detail });
  });
  const known = new Set(model.observations.map((one) => one.id));
  for (const [observation, item] of yielded)
    if (!known.has(observation))
      faults.push({
        pointer: '#/observations',
        detail: `The checklist item "${item}" yields "${observation}", which the model does not weigh.`,
      });
  return faults;
}
