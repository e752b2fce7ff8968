import { ApiPropertyOptional } from '@nestjs/swagger';
import { IsInt, IsOptional, IsString, Max, MaxLength, Min } from 'class-validator';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { Refused } from './problems.js';

export const PAGE_SIZE_DEFAULT = 50;
export const PAGE_SIZE_MAX = 200;

/** The query of every list. Extend it with the list's own filters. */
export class PageQuery {
  @ApiPropertyOptional({ type: 'integer', minimum: 1, maximum: PAGE_SIZE_MAX, default: PAGE_SIZE_DEFAULT })
  @IsOptional()
  @IsInt()
  @Min(1)
  @Max(PAGE_SIZE_MAX)
  limit?: number;

  @ApiPropertyOptional({ type: 'string', description: 'Opaque: take it from the Link header or from `next`.' })
  @IsOptional()
  @IsString()
  @MaxLength(1000)
  cursor?: string;
}

/** One page of a list. `next` is absent on the last page. */
export interface Page<T> {
  readonly items: readonly T[];
  readonly next?: string;
}

/** The values of the sort columns of the last row of a page. */
export type CursorKey = readonly (string | number)[];

/** Page size asked for, within the limits. */
export function pageSize(query: PageQuery): number {
  return Math.min(query.limit ?? PAGE_SIZE_DEFAULT, PAGE_SIZE_MAX);
}

/**
 * Reads a cursor.
 * @param shape one letter for each sort column: `t` text, `i` RFC 3339 instant, `u` uuid, `n` number
 * @returns the key after which the page starts, or undefined for the first page
 * @throws Refused `cursor-invalid`
 */
export function readCursor(query: PageQuery, shape: string): CursorKey | undefined {
  if (query.cursor === undefined) return undefined;
  const key = decode(query.cursor);
  if (!Array.isArray(key) || key.length !== shape.length || !key.every((part, n) => fits(part, shape[n] ?? ''))) {
    throw new Refused(
      'cursor-invalid',
      'Start the list again without a cursor, or use one from a Link header as it is.',
    );
  }
  return key as CursorKey;
}

/**
 * Cuts a page out of rows read with `limit size + 1`.
 * @param rows at most size + 1 rows in list order
 * @param keyOf the sort columns of a row, in the order of the cursor's shape
 */
export function pageOf<R, T>(
  rows: readonly R[],
  size: number,
  keyOf: (row: R) => CursorKey,
  map: (row: R) => T,
): Page<T> {
  const shown = rows.slice(0, size);
  const last = shown.at(-1);
  const more = rows.length > size && last !== undefined;
  return { items: shown.map(map), ...(more ? { next: encode(keyOf(last)) } : {}) };
}

/** Sets the Link header (RFC 8288) with `first`, and `next` unless this is the last page. Returns the page as body. */
export function sendPage<T>(request: FastifyRequest, reply: FastifyReply, page: Page<T>): Page<T> {
  const [path = '/', query = ''] = request.url.split('?', 2);
  const links = [link(path, query, undefined, 'first')];
  if (page.next !== undefined) links.push(link(path, query, page.next, 'next'));
  void reply.header('link', links.join(', '));
  return page;
}

function link(path: string, query: string, cursor: string | undefined, rel: string): string {
  const parameters = new URLSearchParams(query);
  parameters.delete('cursor');
  if (cursor !== undefined) parameters.set('cursor', cursor);
  const text = parameters.toString();
  return `<${path}${text === '' ? '' : `?${text}`}>; rel="${rel}"`;
}

function encode(key: CursorKey): string {
  return Buffer.from(JSON.stringify(key)).toString('base64url');
}

function decode(cursor: string): unknown {
  try {
    return JSON.parse(Buffer.from(cursor, 'base64url').toString('utf8'));
  } catch {
    return undefined;
  }
}

function fits(part: unknown, kind: string): boolean {
  if (kind === 'n') return typeof part === 'number' && Number.isFinite(part);
  if (typeof part !== 'string' || part.includes('\u0000')) return false;
  if (kind === 'u') return /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(part);
  if (kind === 'i')
    return (
      /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)$/.test(part) && !Number.isNaN(Date.parse(part))
    );
  return kind === 't';
}
