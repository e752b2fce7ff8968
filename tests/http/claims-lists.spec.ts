import { describe, expect, it } from 'vitest';
import { claimDesk, type ClaimView } from '../support/claims.js';
import { codeOf, pointersOf, type Answered } from '../support/resources.js';

const desk = claimDesk();

interface Line {
  readonly id: string;
  readonly number: string;
  readonly state: string;
  readonly serial: string;
  readonly orderReference: string;
  readonly updatedAt: string;
}
const list = (query = '', who = desk.home.analyst): Promise<Answered> => desk.client.get(who, `/v1/claims${query}`);
const lines = async (query = ''): Promise<Line[]> => (await list(query)).json<{ items: Line[] }>().items;

/** Claims on as many visits, a second apart, the oldest first. */
async function several(count: number): Promise<ClaimView[]> {
  const made: ClaimView[] = [];
  for (let n = 0; n < count; n += 1) {
    desk.test.clock.advance({ seconds: 1 });
    made.push(await desk.filed({ visitId: await desk.delivered() }, desk.home.retailerPerson));
  }
  return made;
}

/** The `next` address of a Link header (RFC 8288), or undefined on the last page. */
function nextOf(answer: Answered): string | undefined {
  return /<([^>]+)>; rel="next"/.exec(String(answer.headers['link']))?.[1];
}

/** Walks a list by its Link headers. @param between runs after each page */
async function walk(
  url: string,
  between: (page: number) => Promise<void> = () => Promise.resolve(),
): Promise<string[]> {
  const seen: string[] = [];
  let at: string | undefined = url;
  for (let page = 1; at !== undefined; page += 1) {
    expect(page).toBeLessThan(50);
    const answer: Answered = await desk.client.get(desk.home.analyst, at);
    expect(answer.statusCode).toBe(200);
    seen.push(...answer.json<{ items: Line[] }>().items.map(({ id }) => id));
    at = nextOf(answer);
    await between(page);
  }
  return seen;
}

describe('a list of claims', () => {
  it('puts the last change first, and shows what a line needs', async () => {
    const [first, second] = await several(2);
    desk.test.clock.advance({ seconds: 1 });
    await desk.acts(String(first?.id), [desk.home.analyst, 'withdrawal', { reason: 'Not needed.' }]);
    const shown = await lines();
    expect(shown.map(({ id }) => id)).toEqual([first?.id, second?.id]);
    expect(shown[0]).toMatchObject({
      state: 'withdrawn',
      ground: 'return',
      serial: 'DR7K204518',
      retailer: 'Company pellow',
      currency: 'USD',
      totalMinor: null,
      remedies: [],
      outcome: null,
      awaitingSecondPerson: false,
    });
  });

  it('shows the desk what is proposed, and everybody what is decided', async () => {
    const { id } = await desk.proposed();
    const asRetailer = async (): Promise<object | undefined> =>
      (await list('', desk.home.retailerPerson)).json<{ items: object[] }>().items[0];
    expect((await lines())[0]).toMatchObject({ totalMinor: 27_000, remedies: ['refund'] });
    expect(await asRetailer()).not.toHaveProperty('totalMinor');
    expect(await asRetailer()).not.toHaveProperty('remedies');
    await desk.acts(id, [desk.home.analyst, 'decisions', { outcome: 'approved' }]);
    expect(await asRetailer()).toMatchObject({ totalMinor: 27_000, remedies: ['refund'], outcome: 'approved' });
    expect(await asRetailer()).not.toHaveProperty('awaitingSecondPerson');
  });

  it('filters by state and ground, alone and together', async () => {
    const inspectionId = await desk.inspected();
    const shortage = { ground: 'shortage', returnReason: undefined, wish: undefined, inspectionId };
    const short = await desk.filed(shortage);
    const [returned] = await several(1);
    await desk.acts(String(returned?.id), [desk.home.analyst, 'withdrawal', { reason: 'Not needed.' }]);
    const idsOf = async (query: string): Promise<string[]> => (await lines(query)).map(({ id }) => id);
    expect(await idsOf('?state=filed')).toEqual([short.id]);
    expect(await idsOf('?ground=return')).toEqual([returned?.id]);
    expect(await idsOf('?state=withdrawn&ground=return')).toEqual([returned?.id]);
    expect(await idsOf('?state=withdrawn&ground=shortage')).toEqual([]);
    expect(pointersOf(await list('?state=lost&ground=fire&order=oldest&limit=0&colour=red'))).toEqual(
      expect.arrayContaining(['#/state', '#/ground', '#/order', '#/limit', '#/colour']),
    );
  });

  it('puts what is due first when asked to, and what has no clock last', async () => {
    const [first, second, third] = (await several(3)).map(({ id }) => id);
    await desk.assess();
    const late = await desk.filed();
    // A first look that was had is due no more; a refund that was agreed is.
    const agreed = (id: string | undefined, day: string): Promise<unknown> =>
      desk.acts(String(id), [desk.home.analyst, 'happenings', { what: 'refund agreed', at: `${day}T08:30:00Z` }]);
    await agreed(second, '2026-02-25');
    await agreed(first, '2026-03-02');
    const due = (await lines('?order=due')).map(({ id }) => id);
    expect(due.slice(0, 2)).toEqual([second, first]);
    expect(new Set(due.slice(2))).toEqual(new Set([third, late.id]));
    expect(await walk('/v1/claims?order=due&limit=1')).toEqual(due);
  });

  it('finds by part of number, serial number or order, in either case, and takes signs as signs', async () => {
    const made = await several(3);
    const [one] = await lines('?limit=1');
    if (one === undefined) throw new Error('no claim');
    const idsOf = async (find: string): Promise<string[]> =>
      (await lines(`?find=${encodeURIComponent(find)}`)).map(({ id }) => id);
    const spoken = `${one.number.slice(0, 3)} ${one.number.slice(3, 6)} ${one.number.slice(6)}`;
    expect(await idsOf(one.number)).toEqual([one.id]);
    expect(await idsOf(spoken)).toEqual([one.id]);
    expect(await idsOf(one.orderReference.toLowerCase())).toEqual([one.id]);
    expect(await idsOf('dr7k')).toHaveLength(made.length);
    expect(await idsOf('   ')).toHaveLength(made.length);
    for (const nothing of ['%', '_', '\\', "' or 1=1 --", 'PS-%', 'zzz', 'DR7K_04518']) {
      expect(await idsOf(nothing), `find ${nothing}`).toEqual([]);
    }
  });

  it('has no address with a NUL in it, which no column can hold', async () => {
    const answer = await list('?find=a%00b');
    expect([answer.statusCode, codeOf(answer)]).toEqual([404, 'not-found']);
  });
});

describe('a claim by its number', () => {
  it('is found however people write it, and a mistyped one is no number at all', async () => {
    const { id, number } = await desk.filed();
    const text = String(number);
    const by = (written: string): Promise<Answered> =>
      desk.client.get(desk.home.analyst, `/v1/claims/by-number/${encodeURIComponent(written)}`);
    const spoken = `${text.slice(0, 3)} ${text.slice(3, 6)} ${text.slice(6)}`;
    for (const written of [text, spoken, text.replace(/(...)(...)/, '$1-$2.')]) {
      expect((await by(written)).json<ClaimView>().id, `written ${written}`).toBe(id);
    }
    const wrong = text.slice(0, 8) + String((Number(text[8]) + 1) % 10);
    for (const written of [wrong, text.slice(1), `${text}0`, 'abc', '%00']) {
      expect(codeOf(await by(written)), `written ${written}`).toBe('not-found');
    }
  });
});

describe('pages', () => {
  it('lead by Link headers to every claim exactly once', async () => {
    const made = await several(7);
    const newest = made.map(({ id }) => id).toReversed();
    expect(await walk('/v1/claims?limit=3')).toEqual(newest);
    expect(await walk('/v1/claims?limit=7')).toEqual(newest);
    const first = await list('?limit=3&state=filed');
    expect(String(first.headers['link'])).toContain('</v1/claims?limit=3&state=filed>; rel="first"');
    expect(nextOf(first)).toContain('state=filed');
    expect(first.json<{ next: string }>().next).toBe(new URLSearchParams(nextOf(first)).get('cursor'));
  });

  it('show claims of the same instant each once', async () => {
    const made: string[] = [];
    for (let n = 0; n < 5; n += 1)
      made.push((await desk.filed({ visitId: await desk.delivered() }, desk.home.retailerPerson)).id);
    const seen = await walk('/v1/claims?limit=2');
    expect(seen.toSorted()).toEqual(made.toSorted());
  });

  it('show no claim twice and none too few while others come, and those that change meanwhile at most once', async () => {
    const made = await several(9);
    const changes = [made[0], made[8]].map((claim) => String(claim?.id));
    const untouched = made.map(({ id }) => id).filter((id) => !changes.includes(id));
    const seen = await walk('/v1/claims?limit=2', async (page) => {
      desk.test.clock.advance({ seconds: 1 });
      if (page <= 2) {
        await desk.filed({ visitId: await desk.delivered() }, desk.home.retailerPerson);
        await desk.acts(changes[page - 1] ?? '', [desk.home.analyst, 'withdrawal', { reason: 'Not needed.' }]);
      }
    });
    expect(new Set(seen).size).toBe(seen.length);
    expect(seen.filter((id) => untouched.includes(id))).toEqual(untouched.toReversed());
    // The newest first is a moving list: what changes moves to its head, where the next walk begins.
    expect((await walk('/v1/claims?limit=4')).toSorted()).toEqual((await lines()).map(({ id }) => id).toSorted());
  });

  it('refuse a cursor that is not one of ours', async () => {
    await several(2);
    const good = (await list('?limit=1')).json<{ next: string }>().next;
    const forged = (key: unknown): string => Buffer.from(JSON.stringify(key)).toString('base64url');
    for (const cursor of [
      'x',
      good.slice(2),
      forged([]),
      forged(['yesterday', 'x']),
      forged(["2026-03-02T09:00:00Z'; drop table claim", 'x']),
      forged(['2026-13-45T99:00:00Z', '00000000-0000-0000-0000-000000000000']),
      forged({ length: 2 }),
      forged(['2026-03-02T09:00:00Z']),
    ]) {
      const answer = await list(`?cursor=${encodeURIComponent(cursor)}`);
      expect([answer.statusCode, codeOf(answer)], `cursor ${cursor}`).toEqual([400, 'cursor-invalid']);
    }
    expect(pointersOf(await list(`?cursor=${'a'.repeat(1001)}`))).toEqual(['#/cursor']);
  });
});
