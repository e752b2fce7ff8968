import type { TrailEntry } from '../trail.contract.js';

/** What people wrote or chose, in the order in which it is told. */
const TOLD = ['reason', 'words', 'asked', 'because', 'what', 'outcome', 'item', 'reference', 'name', 'title'] as const;

/** The words in what was done, as one line; empty where there are none. @param body what is kept of the event */
export function trailWords(body: Readonly<Record<string, unknown>>): string {
  const told = TOLD.flatMap((name) => {
    const value = body[name];
    return typeof value === 'string' && value.trim() !== '' ? [value.trim()] : [];
  });
  const { roles, before, photos, facts } = body;
  const was = isRecord(before) ? before['roles'] : undefined;
  if (isTexts(roles)) told.push(isTexts(was) ? `${was.join(', ')} → ${roles.join(', ')}` : roles.join(', '));
  if (typeof photos === 'number' && photos > 0) told.push(`${photos} photos lost`);
  if (typeof facts === 'number' && facts > 0) told.push(`${facts} notes lost`);
  return [...new Set(told)].join(' · ');
}

const COLUMNS = ['at', 'who', 'who is', 'done to', 'which', 'what', 'words', 'claim id', 'n', 'hash'] as const;

/** First line of the trail as comma-separated values. */
export const trailCsvHead = `${COLUMNS.join(',')}\r\n`;

/** One entry as a line of comma-separated values (RFC 4180); text that a spreadsheet would run as a formula is led in by an apostrophe. */
export function trailCsvLine({ at, actor, source, label, kind, body, claim, n, hash }: TrailEntry): string {
  const cells = [
    at,
    actor.name,
    actor.kind,
    source,
    label ?? '',
    kind,
    trailWords(body),
    claim ?? '',
    String(n),
    hash ?? '',
  ];
  return `${cells.map(cell).join(',')}\r\n`;
}

function cell(text: string): string {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

function isTexts(value: unknown): value is readonly string[] {
  return Array.isArray(value) && value.every((each) => typeof each === 'string');
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
