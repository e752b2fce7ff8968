import type { AnswerKind, AnswerTest, AnswerValue, UnitInHand } from '../inspections.contract.js';
import type { Component } from '../../kernel/vocabulary.js';

/**
 * Whether an answer passes a test. An item that is not checked (null) passes none, not even `isNot`,
 * and a test that the answer cannot decide (pieces not all counted, nothing on the packing list to be short of)
 * passes neither way: what was not looked at is never guessed.
 */
export function passes(test: AnswerTest, kind: AnswerKind, value: AnswerValue, unit: UnitInHand): boolean {
  if (value === null) return false;
  if ('is' in test) return chosen(value).some((id) => test.is.includes(id));
  if ('isNot' in test) return !chosen(value).some((id) => test.isNot.includes(id));
  if ('below' in test) return typeof value === 'number' && value < test.below;
  if ('above' in test) return typeof value === 'number' && value > test.above;
  if ('outOfTolerance' in test) return isOutOfTolerance(kind, value) === test.outOfTolerance;
  if ('short' in test) return isShort(value, unit, test.component) === test.short;
  return typeof value === 'string' && (plainSerial(value) !== plainSerial(unit.serial)) === test.mismatch;
}

/** Scanned text as compared: scanners add blanks and people type small letters. */
export function plainSerial(text: string): string {
  return text.trim().toUpperCase();
}

function chosen(value: AnswerValue): readonly string[] {
  if (typeof value === 'string') return [value];
  return isIdList(value) ? value : [];
}

function isOutOfTolerance(kind: AnswerKind, value: AnswerValue): boolean | undefined {
  if (kind.type !== 'number' || kind.tolerance === undefined || typeof value !== 'number') return undefined;
  return value < kind.tolerance.from || value > kind.tolerance.to;
}

function isShort(value: AnswerValue, unit: UnitInHand, component: Component | undefined): boolean | undefined {
  if (!isPieceCount(value)) return undefined;
  const listed = unit.packingList.filter((line) => component === undefined || line.component === component);
  if (listed.length === 0) return undefined;
  const counted = (part: string): number | undefined => (Object.hasOwn(value, part) ? value[part] : undefined);
  if (listed.some((line) => (counted(line.part) ?? line.pieces) < line.pieces)) return true;
  return listed.every((line) => Object.hasOwn(value, line.part)) ? false : undefined;
}

/** Ids of choices or photos. */
export function isIdList(value: AnswerValue): value is readonly string[] {
  return Array.isArray(value);
}

/** Pieces by part number. */
export function isPieceCount(value: AnswerValue): value is Readonly<Record<string, number>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
