import type { ExhibitView } from '../../../../evidence/evidence.service.js';
import type { CaseData } from '../../../case-data.js';
import type { PhotoDemand } from '../../../../inspections/inspections.contract.js';

/** A photo as the table shows it. */
export interface Picture {
  readonly id: string;
  /** Its place in the list, counted from 1; it is also its key. */
  readonly n: number;
  /** The check that it belongs to, and what it shows of it. */
  readonly about: string;
  readonly shows: string;
  readonly item: string;
  readonly demand: string;
  /** The earlier claim that it comes from; undefined for this one. */
  readonly earlier: string | undefined;
  readonly exhibit: ExhibitView;
}

/** The photos of the case in the order in which they came, then those of earlier claims on the unit. */
export function picturesOf(view: CaseData): readonly Picture[] {
  const picture = (exhibit: ExhibitView, index: number, earlier?: string): Picture => {
    const { id, item: itemId, shows } = exhibit.row;
    return {
      id,
      n: index + 1,
      ...photoWords(view, itemId, shows),
      item: itemId,
      demand: shows,
      earlier,
      exhibit,
    };
  };
  const own = view.photos.map((exhibit, index) => picture(exhibit, index));
  const before = view.earlier.flatMap(({ number, photos }) =>
    photos.map((exhibit) => ({ exhibit, from: number ?? 'a draft' })),
  );
  return [...own, ...before.map(({ exhibit, from }, index) => picture(exhibit, own.length + index, from))];
}

/** What a photo was taken for, in the words of the checklist of the case. @param check and @param demand are ids */
export function photoWords(view: CaseData, check: string, demand: string): Pick<Picture, 'about' | 'shows'> {
  const items = view.inspection?.walk.checklist.sections.flatMap((section) => section.items) ?? [];
  const item = items.find(({ id }) => id === check);
  return { about: item?.ask.en ?? check, shows: demandWords(item?.photos, demand) };
}

function demandWords(demands: readonly PhotoDemand[] | undefined, shows: string): string {
  return demands?.find(({ id }) => id === shows)?.says.en ?? 'One more photo';
}

/** Places of two pictures in the list; the second is absent where a picture stands alone. */
export type Pair = readonly [left: number, right: number | undefined];

/**
 * What is worth looking at side by side: the photos of one check, two at a time, and each beside the same view of an earlier claim.
 * @param pictures own ones first
 */
export function pairsOf(pictures: readonly Pick<Picture, 'item' | 'demand' | 'earlier'>[]): readonly Pair[] {
  const own = pictures.flatMap((picture, index) => (picture.earlier === undefined ? [{ ...picture, index }] : []));
  const together = [...Map.groupBy(own, ({ item }) => item).values()].flatMap((group) =>
    group.flatMap(({ index }, at): Pair[] => (at % 2 === 0 ? [[index, group[at + 1]?.index]] : [])),
  );
  const whole = together.filter(([, right]) => right !== undefined);
  const alone = together.flatMap(([left, right]) => (right === undefined ? [left] : []));
  const rest = alone.flatMap((left, at): Pair[] => (at % 2 === 0 ? [[left, alone[at + 1]]] : []));
  const withEarlier = own.flatMap(({ index, item, demand }): Pair[] => {
    const before = pictures.findIndex(
      (each) => each.earlier !== undefined && each.item === item && each.demand === demand,
    );
    return before === -1 ? [] : [[index, before]];
  });
  return [...whole, ...rest, ...withEarlier];
}
