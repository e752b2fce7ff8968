import type { PolicyDocument } from '../../../../policies/policies.contract.js';

/** What is written of a version: the document and the days on which it is to hold. */
export interface Draft {
  readonly document: PolicyDocument;
  /** Local date, YYYY-MM-DD. */
  readonly effectiveFrom: string;
  readonly effectiveTo?: string | undefined;
}

/** Where an edit was, so that undoing it shows what it undid. */
export interface EditPlace {
  /** The part of the sheet. */
  readonly part: string;
  readonly row?: number;
  readonly column?: number;
}

export interface Step {
  readonly draft: Draft;
  /** Of the edit that led away from this draft, in the past; that led to it, among what was undone. */
  readonly place: EditPlace;
}

/** A draft with the way to it and what was undone. */
export interface DraftHistory {
  readonly now: Draft;
  readonly past: readonly Step[];
  readonly undone: readonly Step[];
}

/** Edits that can be taken back. */
const MOST = 200;

export function begun(draft: Draft): DraftHistory {
  return { now: draft, past: [], undone: [] };
}

/** One edit more; what was undone before is gone. An edit that changes nothing is none. */
export function edited(history: DraftHistory, draft: Draft, place: EditPlace): DraftHistory {
  if (draft === history.now || isSameDraft(draft, history.now)) return history;
  return { now: draft, past: [...history.past.slice(1 - MOST), { draft: history.now, place }], undone: [] };
}

/** Takes the last edit back. @returns undefined where there is none */
export function undo({ now, past, undone }: DraftHistory): (DraftHistory & { readonly place: EditPlace }) | undefined {
  const last = past.at(-1);
  if (last === undefined) return undefined;
  const { draft, place } = last;
  return { now: draft, past: past.slice(0, -1), undone: [...undone, { draft: now, place }], place };
}

/** Does again what was taken back last. @returns undefined where nothing was */
export function redo({ now, past, undone }: DraftHistory): (DraftHistory & { readonly place: EditPlace }) | undefined {
  const last = undone.at(-1);
  if (last === undefined) return undefined;
  const { draft, place } = last;
  return { now: draft, past: [...past, { draft: now, place }], undone: undone.slice(0, -1), place };
}

/** Whether two drafts say the same; members of objects stand in any order, as they do in the service. */
export function isSameDraft(a: Draft, b: Draft): boolean {
  if (a === b) return true;
  if (a.effectiveFrom !== b.effectiveFrom || a.effectiveTo !== b.effectiveTo) return false;
  return isSameValue(a.document, b.document);
}

/** Whether two JSON values are the same; members of objects may stand in any order. */
export function isSameValue(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const [left, right] = [Object.entries(a).filter(isThere), Object.entries(b).filter(isThere)];
  if (left.length !== right.length) return false;
  return left.every(([key, value]) => isSameValue(value, (b as Readonly<Record<string, unknown>>)[key]));
}

function isThere([, value]: [string, unknown]): boolean {
  return value !== undefined;
}
