import type { AnswerKind, AnswerTest, Checklist, ChecklistItem } from '../inspections.contract.js';
import type { Fault, Outcome } from '../../kernel/outcome.js';
import { bad, good, pointer } from '../../kernel/outcome.js';
import { shapeFaults } from '../../kernel/shape.js';
import { checklistShape } from './checklist-shape.js';

/**
 * Reads a checklist document. Refuses, with a pointer for every fault: wrong fields and types, ids used twice,
 * conditions on unknown or later items (circles among them), tests that do not fit the item's answer, unknown choices
 * and safety stops, stops that nothing raises, observations that two items yield, bounds the wrong way round.
 */
export function checkChecklist(document: unknown): Outcome<Checklist> {
  const inForm = shapeFaults(document, checklistShape);
  if (inForm.length > 0) return bad(...inForm);
  // The shape has just been checked field by field.
  const checklist = document as Checklist;
  const inMeaning = meaningFaults(checklist);
  return inMeaning.length > 0 ? bad(...inMeaning) : good(checklist);
}

interface Placed {
  readonly item: ChecklistItem;
  readonly at: string;
  readonly place: number;
}

function meaningFaults(checklist: Checklist): Fault[] {
  const placed = checklist.sections.flatMap((section, s) =>
    section.items.map((item, i) => ({ item, at: `#/sections/${s}/items/${i}` })),
  );
  const all: Placed[] = placed.map((one, place) => ({ ...one, place }));
  return [
    ...repeated(checklist.sections, '#/sections', 'section'),
    ...repeated(checklist.stops, '#/stops', 'safety stop'),
    ...repeatedItems(all),
    ...all.flatMap((one) => itemFaults(one)),
    ...all.flatMap((one) => conditionFaults(one, all)),
    ...stopFaults(checklist, all),
    ...yieldFaults(all),
  ];
}

function repeated(entries: readonly { readonly id: string }[], base: string, what: string): Fault[] {
  return entries.flatMap((entry, index) =>
    entries.findIndex((other) => other.id === entry.id) < index
      ? [{ pointer: `${base}/${index}/id`, detail: `There is already a ${what} "${entry.id}"; ids are used once.` }]
      : [],
  );
}

function repeatedItems(all: readonly Placed[]): Fault[] {
  return all
    .filter((one) => all.some((other) => other.place < one.place && other.item.id === one.item.id))
    .map((one) => ({
      pointer: `${one.at}/id`,
      detail: `There is already an item "${one.item.id}"; ids are used once.`,
    }));
}

function itemFaults({ item, at }: Placed): Fault[] {
  const faults: Fault[] = [];
  const kind = item.answer;
  if (kind.type === 'choice') faults.push(...repeated(kind.choices, `${at}/answer/choices`, 'choice'));
  if (kind.type === 'number') faults.push(...boundFaults(kind, `${at}/answer`));
  faults.push(...repeated(item.photos ?? [], `${at}/photos`, 'photo demand'));
  (item.photos ?? []).forEach((demand, i) => {
    if (demand.when !== undefined) faults.push(...testFaults(demand.when, kind, `${at}/photos/${i}/when`));
  });
  (item.yields ?? []).forEach((one, i) => faults.push(...testFaults(one.when, kind, `${at}/yields/${i}/when`)));
  (item.raises ?? []).forEach((one, i) => faults.push(...testFaults(one.when, kind, `${at}/raises/${i}/when`)));
  return faults;
}

function boundFaults(kind: Extract<AnswerKind, { type: 'number' }>, at: string): Fault[] {
  const faults: Fault[] = [];
  if (kind.min >= kind.max)
    faults.push({ pointer: `${at}/max`, detail: 'The largest number must be above the smallest.' });
  const t = kind.tolerance;
  if (t !== undefined && (t.from > t.to || t.from < kind.min || t.to > kind.max))
    faults.push({ pointer: `${at}/tolerance`, detail: 'The tolerance must run upwards and lie within min and max.' });
  return faults;
}

/** A test must be one that the answer's type can pass. */
function testFaults(test: AnswerTest, kind: AnswerKind, at: string): Fault[] {
  const list = 'is' in test ? test.is : 'isNot' in test ? test.isNot : undefined;
  if (list !== undefined) {
    const known =
      kind.type === 'choice' ? kind.choices.map((choice) => choice.id) : kind.type === 'yes-no' ? ['yes', 'no'] : [];
    if (known.length === 0) return [misfit(at, 'is and isNot', 'a choice or yes/no')];
    const step = 'is' in test ? 'is' : 'isNot';
    return list.flatMap((id, i) =>
      known.includes(id)
        ? []
        : [{ pointer: `${at}/${step}/${i}`, detail: `"${id}" is not an answer here; use: ${known.join(', ')}.` }],
    );
  }
  if ('below' in test || 'above' in test)
    return kind.type === 'number' ? [] : [misfit(at, 'below and above', 'a number')];
  if ('outOfTolerance' in test)
    return kind.type === 'number' && kind.tolerance !== undefined
      ? []
      : [misfit(at, 'outOfTolerance', 'a number with a tolerance')];
  if ('short' in test) return kind.type === 'count' ? [] : [misfit(at, 'short', 'a count')];
  return kind.type === 'scan' ? [] : [misfit(at, 'mismatch', 'a scan')];
}

function misfit(at: string, test: string, needs: string): Fault {
  return { pointer: at, detail: `The test ${test} needs an item that is answered by ${needs}.` };
}

function conditionFaults(one: Placed, all: readonly Placed[]): Fault[] {
  return (one.item.askIf ?? []).flatMap((condition, index) => {
    const at = `${one.at}/askIf/${index}`;
    const target = all.find((other) => other.item.id === condition.item);
    if (target === undefined) return [{ pointer: `${at}/item`, detail: `There is no item "${condition.item}".` }];
    if (target.place >= one.place) {
      const circle = circleThrough(one, all);
      const detail =
        circle === undefined
          ? `"${condition.item}" comes later in the list; a condition can only look back.`
          : `These conditions go round in a circle: ${circle.join(' → ')}; none of them could ever be asked.`;
      return [{ pointer: `${at}/item`, detail }];
    }
    return testFaults(condition.test, target.item.answer, `${at}/test`);
  });
}

/** Ids along a way from an item through its conditions back to itself; undefined when there is none. */
function circleThrough(start: Placed, all: readonly Placed[]): string[] | undefined {
  const seen = new Set<string>();
  const ways: string[][] = [[start.item.id]];
  for (let way = ways.pop(); way !== undefined; way = ways.pop()) {
    const last = all.find((one) => one.item.id === way.at(-1));
    for (const condition of last?.item.askIf ?? []) {
      if (condition.item === start.item.id) return [...way, condition.item];
      if (seen.has(condition.item)) continue;
      seen.add(condition.item);
      ways.push([...way, condition.item]);
    }
  }
  return undefined;
}

function stopFaults(checklist: Checklist, all: readonly Placed[]): Fault[] {
  const known = new Set(checklist.stops.map((stop) => stop.id));
  const raised = new Set(all.flatMap((one) => (one.item.raises ?? []).map((raise) => raise.stop)));
  const unknown = all.flatMap((one) =>
    (one.item.raises ?? []).flatMap((raise, i) =>
      known.has(raise.stop)
        ? []
        : [{ pointer: `${one.at}/raises/${i}/stop`, detail: `There is no safety stop "${raise.stop}".` }],
    ),
  );
  const idle = checklist.stops.flatMap((stop, i) =>
    raised.has(stop.id)
      ? []
      : [{ pointer: pointer('#/stops', i), detail: `Nothing raises the safety stop "${stop.id}".` }],
  );
  return [...unknown, ...idle];
}

/** One item owns an observation: otherwise two answers could contradict each other about one fact. */
function yieldFaults(all: readonly Placed[]): Fault[] {
  const owner = new Map<string, string>();
  return all.flatMap((one) =>
    (one.item.yields ?? []).flatMap((each, i) => {
      const first = owner.get(each.observation) ?? one.item.id;
      owner.set(each.observation, first);
      return first === one.item.id
        ? []
        : [
            {
              pointer: `${one.at}/yields/${i}/observation`,
              detail: `"${each.observation}" is already yielded by the item "${first}"; one item yields an observation.`,
            },
          ];
    }),
  );
}
