import type { ObservationModel, RankedExplanation } from '../../diagnosis/diagnosis.contract.js';
import type { AssessedFinding } from '../adjudication.contract.js';
import { parameterStep, percent, type Assessed, type WhyStep } from './why-steps.js';

/** Why a finding, or a part of it, is what it is: prior, each sign with its weight, and the bar. */
export function whyFinding(of: Assessed, steps: readonly string[]): WhyStep[] {
  const [index = '', part = '', place = ''] = steps;
  const finding = of.assessment.findings[Number(index)];
  if (finding === undefined) return [];
  const at = `/findings/${index}`;
  switch (part) {
    case 'explanations':
      return explanationSteps(of, finding, finding.explanations[Number(place)] ?? finding.explanations[0], at);
    case 'components':
      return marginalSteps(finding, 'component', finding.components[Number(place)]?.component, at);
    case 'origins':
      return marginalSteps(finding, 'origin', finding.origins[Number(place)]?.origin, at);
    case 'evidence':
      return evidenceStep(of, finding, place);
    case 'notChecked':
      return [
        {
          says: `Nobody looked for "${finding.notChecked[Number(place)] ?? 'these signs'}", so it says nothing either way.`,
        },
      ];
    case 'surpriseTail':
      return [
        { says: 'The chance, if the leading explanation is true, of evidence at least as unlikely as what was seen.' },
        ...explanationSteps(of, finding, finding.explanations[0], at),
        ...parameterStep('bar surprise', of),
      ];
    case 'entropyBits':
      return [
        { says: 'Shannon entropy of the probabilities of the explanations, −Σ p·log2 p: how much is still open.' },
        ...finding.explanations.map(({ fault, probability }, e) => ({
          says: `${fault}: ${percent(probability)}.`,
          at: `${at}/explanations/${e}`,
        })),
      ];
    case 'evidenceGrade':
      return gradeSteps(of, finding);
    default:
      return [
        ...openedBy(of, finding),
        ...explanationSteps(of, finding, finding.explanations[0], at),
        ...barSteps(of, finding),
      ];
  }
}

/** Why a check is worth doing. */
export function whyNextCheck(of: Assessed, [index = '']: readonly string[]): WhyStep[] {
  const check = of.assessment.nextChecks[Number(index)];
  if (check === undefined)
    return [{ says: 'Checks still worth the time, by the entropy that each is expected to take away a second.' }];
  const { observation, expectedBits, effortSeconds, subject } = check;
  const row = observationOf(of, observation);
  return [
    {
      says: `Looking for "${observation}" is expected to lower what is open about ${subject} by ${expectedBits.toPrecision(4)} bits in ${effortSeconds} s: ${check.bitsPerSecond.toPrecision(4)} bits a second.`,
      at: `/findings/${of.assessment.findings.findIndex((finding) => finding.subject === subject)}`,
    },
    ...(row === undefined ? [] : [{ says: `The item "${row.item}" of the checklist yields it.`, source: row.grounds }]),
    ...parameterStep('worth bits', of),
  ];
}

/** Why a safety stop was raised. */
export function whyStop(of: Assessed, [index = '']: readonly string[]): WhyStep[] {
  const id = of.assessment.safetyStops[Number(index)];
  const stop = of.checklist.stops.find((one) => one.id === id);
  const items = of.checklist.sections.flatMap((section) => section.items);
  const raisers = items.filter((item) => item.raises?.some((raise) => raise.stop === id));
  return [
    ...(stop === undefined ? [] : [{ says: `${stop.says.en} ${stop.do.map(({ en }) => en).join(' ')}` }]),
    ...raisers.flatMap((item) => {
      const answer = of.claim.inspection.answers.find((given) => given.item === item.id);
      return answer === undefined || answer.value === null
        ? []
        : [{ says: `"${item.ask.en}" (${item.id}) was answered ${JSON.stringify(answer.value)}.` }];
    }),
  ];
}

function openedBy(of: Assessed, { subject }: AssessedFinding): WhyStep[] {
  const opens = of.evidenceModel.subjects.find(({ id }) => id === subject)?.opensOn ?? [];
  const finding = of.assessment.findings.find((one) => one.subject === subject);
  const seen = finding?.evidence.filter(
    ({ observation, sighting }) => sighting === 'present' && opens.includes(observation),
  );
  return [
    { says: `The finding is open because this was seen: ${seen?.map(({ says }) => says).join('; ') ?? 'nothing'}.` },
  ];
}

function explanationSteps(
  of: Assessed,
  finding: AssessedFinding,
  explanation: RankedExplanation | undefined,
  at: string,
): WhyStep[] {
  if (explanation === undefined) return [];
  const place = finding.explanations.indexOf(explanation);
  return [
    {
      says: `"${explanation.fault}" (${explanation.component}, ${explanation.origin}) has ${percent(explanation.probability)} after everything that was seen.`,
      at: `${at}/explanations/${place}`,
    },
    priorStep(of, explanation),
    ...finding.evidence.map((one) => {
      const row = observationOf(of, one.observation);
      return {
        says: `${one.says} (${one.sighting}): ${signed(one.decibans)} decibans for the leading explanation${one.counted ? '' : ', as a stronger sign of its group speaks for it'}${chanceWords(row, explanation, finding.subject, one.sighting)}.`,
        observation: {
          id: one.observation,
          item: row?.item ?? '',
          sighting: one.sighting,
          decibans: one.decibans,
          counted: one.counted,
        },
        ...(row === undefined ? {} : { source: row.grounds }),
      };
    }),
  ];
}

function priorStep({ evidenceModel }: Assessed, { id }: RankedExplanation): WhyStep {
  const own = evidenceModel.explanations.find((one) => one.id === id);
  const rivals = evidenceModel.explanations.filter(({ subject }) => subject === own?.subject);
  const sum = rivals.reduce((total, { prior }) => total + prior, 0);
  return {
    says: `Before anything was seen it had ${percent((own?.prior ?? 0) / sum)}: weight ${own?.prior ?? 0} of ${Number(sum.toPrecision(12))} over ${rivals.length} explanations.`,
    source: own?.grounds ?? evidenceModel.basis,
  };
}

function chanceWords(
  row: ObservationModel | undefined,
  { id }: RankedExplanation,
  subject: string,
  sighting: 'present' | 'absent',
): string {
  const chance = row?.likelihoods[id] ?? row?.otherwise[subject];
  if (chance === undefined) return '';
  return `; if this explanation is true it is ${sighting} with ${percent(sighting === 'present' ? chance : 1 - chance)}`;
}

function marginalSteps(
  finding: AssessedFinding,
  by: 'component' | 'origin',
  value: string | undefined,
  at: string,
): WhyStep[] {
  return [
    { says: `The probabilities of the explanations of this ${by} added up${value === undefined ? '' : `: ${value}`}.` },
    ...finding.explanations.flatMap((one, index) =>
      value === undefined || one[by] === value
        ? [{ says: `${one.fault}: ${percent(one.probability)}.`, at: `${at}/explanations/${index}` }]
        : [],
    ),
  ];
}

function evidenceStep(of: Assessed, finding: AssessedFinding, place: string): WhyStep[] {
  const all = explanationSteps(of, finding, finding.explanations[0], '').filter((step) => step.observation);
  const one = all[Number(place)];
  return [
    ...(place === '' || one === undefined ? all : [one]),
    {
      says: 'Decibans are 10·log10 of how much a sign moves the odds of the leading explanation, given everything else seen.',
    },
  ];
}

function barSteps(of: Assessed, { verdict, reasons }: AssessedFinding): WhyStep[] {
  return [
    { says: verdict === 'settled' ? 'It clears the bar of the policy.' : `It goes to a person: ${reasons.join(' ')}` },
    ...['bar probability', 'bar margin decibans', 'bar surprise'].flatMap((name) => parameterStep(name, of)),
  ];
}

function gradeSteps(of: Assessed, { evidenceGrade, evidence }: AssessedFinding): WhyStep[] {
  const items = new Set(
    evidence.flatMap(({ observation, sighting }) =>
      sighting === 'present' ? [observationOf(of, observation)?.item] : [],
    ),
  );
  const photos = of.claim.photos.filter(({ item }) => items.has(item));
  return [
    {
      says: `The grade is ${evidenceGrade}: strong needs every photo that these items demand and the scanned serial to match, weak is no photo at all.`,
    },
    { says: `Photos behind it: ${photos.map(({ item, shows }) => `${item}/${shows}`).join(', ') || 'none'}.` },
  ];
}

function observationOf({ evidenceModel }: Assessed, id: string): ObservationModel | undefined {
  return evidenceModel.observations.find((one) => one.id === id);
}

function signed(decibans: number): string {
  const shown = Number(decibans.toFixed(2));
  return `${shown > 0 ? '+' : ''}${shown === 0 ? 0 : shown}`;
}
