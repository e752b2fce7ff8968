import type { ChecklistItem } from '../../inspections/inspections.contract.js';
import type { Need } from '../adjudication.contract.js';

/** Everything that must be known before the claim can be settled, each once: policy first, then photos, then clocks. */
export function needsOf(found: {
  readonly policy: readonly Need[];
  /** False where the place has no holiday table for the years in question. */
  readonly holidaysKnown: boolean;
  readonly photos: readonly Need[];
  readonly clocks: readonly Need[];
}): Need[] {
  const policy = found.policy.map((need) =>
    need.what === 'business days to notice' && !found.holidaysKnown
      ? { ...need, ask: 'Which days were public holidays at the place of delivery? There is no table for that year.' }
      : need,
  );
  const all = [...policy, ...found.photos, ...found.clocks];
  return all.filter((need, index) => all.findIndex(({ what }) => what === need.what) === index);
}

/** Photos still owed for these items. They are asked for where nobody could be named to answer; elsewhere they only lower the grade. */
export function photoNeeds(
  items: ReadonlySet<string>,
  walk: {
    readonly asked: readonly ChecklistItem[];
    readonly owed: readonly { readonly item: string; readonly demand: string }[];
  },
): Need[] {
  return walk.owed
    .filter(({ item }) => items.has(item))
    .map(({ item, demand }) => {
      const photo = walk.asked.find(({ id }) => id === item)?.photos?.find(({ id }) => id === demand);
      return {
        what: `photo ${item}/${demand}`,
        ask: `Take this photo: ${(photo?.says.en ?? demand).replace(/\.$/, '')}.`,
        why: 'Nobody can be named to answer for this yet, and this photo is still owed.',
      };
    });
}
