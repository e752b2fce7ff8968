import type { Part } from '../../../catalogue/catalogue.contract.js';

/** Parts in the order of the tree: what belongs to a part stands behind it, one step deeper. What belongs to nothing known is a root. */
export function treeOf(parts: readonly Part[]): readonly { readonly part: Part; readonly depth: number }[] {
  const known = new Set(parts.map(({ number }) => number));
  const below = (parent: string | undefined, depth: number): { part: Part; depth: number }[] =>
    parts
      .filter((part) => (parent === undefined ? !known.has(part.parent ?? '') : part.parent === parent))
      .flatMap((part) => [{ part, depth }, ...below(part.number, depth + 1)]);
  return below(undefined, 0);
}

/** 62500 → "62.5 kg", 350 → "350 g". */
export function showGrams(grams: number): string {
  return grams < 1000 ? `${grams} g` : `${grams / 1000} kg`;
}
