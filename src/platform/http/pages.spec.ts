import type { FastifyReply, FastifyRequest } from 'fastify';
import { describe, expect, it } from 'vitest';
import { pageOf, pageSize, readCursor, sendPage } from './pages.js';
import { Refused } from './problems.js';

const UUID = '8e03978e-40d5-43e8-bc93-6894a57f9324';

describe('a page', () => {
  const rows = [3, 1, 4, 1, 5];

  it('has a next one only when a row beyond it was read', () => {
    expect(pageOf(rows, 5, (n) => [n], String)).toEqual({ items: ['3', '1', '4', '1', '5'] });
    const page = pageOf(rows, 4, (n) => [n], String);
    expect(page.items).toEqual(['3', '1', '4', '1']);
    expect(readCursor({ cursor: page.next ?? '' }, 'n')).toEqual([1]);
    expect(pageOf([], 4, () => [0], String)).toEqual({ items: [] });
  });

  it('has 50 rows unless asked otherwise, and 200 at most', () => {
    expect(pageSize({})).toBe(50);
    expect(pageSize({ limit: 7 })).toBe(7);
    expect(pageSize({ limit: 100_000 })).toBe(200);
  });
});

describe('a cursor', () => {
  const cursor = (key: unknown): string => Buffer.from(JSON.stringify(key)).toString('base64url');

  it.each([
    ['tu', ['Möbel', UUID]],
    ['iu', ['2026-03-02T09:00:00.123Z', UUID]],
    ['n', [7]],
  ])('of the shape %s is read', (shape, key) => {
    expect(readCursor({ cursor: cursor(key) }, shape)).toEqual(key);
  });

  it.each([
    ['not base64 of JSON', '%%%', 'u'],
    ['too short', cursor([]), 'u'],
    ['too long', cursor([UUID, UUID]), 'u'],
    ['no list', cursor({ 0: UUID, length: 1 }), 'u'],
    ['another kind', cursor([7]), 'u'],
    ['no uuid', cursor(["' or 1=1"]), 'u'],
    ['no instant', cursor(['2026-99-99T00:00:00Z']), 'i'],
    ['a date without time', cursor(['2026-03-02']), 'i'],
    ['a zero byte, which PostgreSQL refuses', cursor(['a\u0000b']), 't'],
    ['infinite', cursor([null]), 'n'],
  ])('that is %s is refused', (_what, text, shape) => {
    expect(() => readCursor({ cursor: text }, shape)).toThrow(Refused);
  });
});

describe('the Link header (RFC 8288)', () => {
  function linkOf(url: string, next?: string): string {
    let value = '';
    const reply = { header: (_name: string, text: string) => (value = text) } as unknown as FastifyReply;
    sendPage({ url } as FastifyRequest, reply, { items: [], ...(next === undefined ? {} : { next }) });
    return value;
  }

  it('keeps the filters, changes the cursor, and has no next on the last page', () => {
    expect(linkOf('/v1/claims?state=filed,decided&cursor=old', 'new')).toBe(
      '</v1/claims?state=filed%2Cdecided>; rel="first", </v1/claims?state=filed%2Cdecided&cursor=new>; rel="next"',
    );
    expect(linkOf('/v1/claims')).toBe('</v1/claims>; rel="first"');
  });
});
