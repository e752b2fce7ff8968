import type { PolicyDocument } from '../../policies.contract.js';

/**
 * Declared names that stand in cells and expressions, the longest that fits at each place: `days to notice` is not `days`.
 * What stands between quotes is no name.
 */
export function namesInTexts(texts: readonly string[], names: readonly string[]): Set<string> {
  const longest = names.toSorted((a, b) => b.length - a.length);
  const found = new Set<string>();
  for (const text of texts) {
    const bare = text.replace(/"(?:[^"\\]|\\.)*"/g, ' ').replace(/\s+/g, ' ');
    for (let at = 0; at < bare.length;) {
      const name = longest.find((each) => bare.startsWith(each, at) && !isWordPart(bare[at + each.length]));
      if (name !== undefined) found.add(name);
      at += name?.length ?? 1;
      while (at < bare.length && isWordPart(bare[at]) && isWordPart(bare[at - 1])) at += 1;
    }
  }
  return found;
}

function isWordPart(character: string | undefined): boolean {
  return character !== undefined && /[\p{L}\p{N}_]/u.test(character);
}

/** Every cell and expression of the decisions of a document. */
export function textsOf(document: PolicyDocument): string[] {
  return document.decisions.flatMap(({ table, expression }) => [
    ...(expression === undefined ? [] : [expression]),
    ...Object.values(table?.columns ?? {}),
    ...(table?.rules.flatMap(({ when }) => Object.values(when)) ?? []),
  ]);
}

/** Parameters that a decision reads, itself or through earlier decisions. */
export function parametersRead(document: PolicyDocument, decision: string): string[] {
  const names = [
    ...Object.keys(document.facts),
    ...Object.keys(document.parameters),
    ...document.decisions.flatMap(({ gives }) => Object.keys(gives)),
  ];
  const found = new Set<string>();
  const visit = (id: string): void => {
    const decisions = document.decisions.filter((each) => each.id === id);
    for (const name of namesInTexts(textsOf({ ...document, decisions }), names)) {
      if (Object.hasOwn(document.parameters, name)) found.add(name);
      const giver = document.decisions.find(({ gives }) => Object.hasOwn(gives, name));
      if (giver && giver.id !== id) visit(giver.id);
    }
  };
  visit(decision);
  return [...found];
}

/** Those of them that have no value yet on a day. */
export function parametersWithoutValue(document: PolicyDocument, decision: string, on: string): string[] {
  return parametersRead(document, decision).filter((name) => (document.parameters[name]?.values[0]?.from ?? on) > on);
}
