import 'reflect-metadata';
import { describe, expect, it } from 'vitest';
import {
  DateField,
  DocumentField,
  InstantField,
  isKeepableJson,
  ListField,
  NestedField,
  OneOfField,
  TextField,
  TextListField,
  UuidField,
  ValueField,
  WholeField,
  YesNoField,
  ZoneField,
} from './fields.js';
import { plainBody } from './plain-body.js';
import { Invalid } from './problems.js';
import { EdgeValidation } from './validation.pipe.js';

class Inner {
  @WholeField({ min: 1, max: 3 })
  n: number;
}

class Body {
  @TextField({ max: 5, pattern: /^[a-z]*$/, says: 'must be small letters' })
  text: string;

  @TextField({ max: 5, optional: true })
  maybe?: string;

  @YesNoField()
  yes: boolean;

  @OneOfField(['a', 'b'])
  one: string;

  @InstantField()
  at: string;

  @DateField()
  on: string;

  @ZoneField()
  zone: string;

  @UuidField()
  id: string;

  @NestedField(() => Inner)
  inner: Inner;

  @ListField(() => Inner, { min: 1, max: 2 })
  list: Inner[];

  @TextListField({ max: 2, length: 3 })
  texts: string[];

  @DocumentField()
  document: object;

  @ValueField([{ type: 'null' }, { type: 'string' }])
  value: unknown;
}

const good = (): Record<string, unknown> => ({
  text: 'abc',
  yes: true,
  one: 'a',
  at: '2026-03-02T14:05:00.5-06:00',
  on: '2024-02-29',
  zone: 'America/Chicago',
  id: '8E03978E-40D5-43E8-BC93-6894A57F9324',
  inner: { n: 1 },
  list: [{ n: 2 }, { n: 3 }],
  texts: ['abc'],
  document: { a: [1, null, { b: 'c' }] },
  value: null,
});

const check = (body: unknown): Promise<unknown> =>
  new EdgeValidation().transform(body, { type: 'body', metatype: Body });

async function pointersFor(over: object): Promise<string[]> {
  const thrown: unknown = await check({ ...good(), ...over }).then(
    () => undefined,
    (error: unknown) => error,
  );
  return thrown instanceof Invalid ? [...new Set(thrown.faults.map((fault) => fault.pointer))] : [];
}

describe('fields', () => {
  it('let a good body through as it is, with nothing added for what was left out', async () => {
    const body = plainBody((await check(good())) as object);
    expect(body).toEqual(good());
    expect(Object.keys(body)).not.toContain('maybe');
  });

  it('are all needed unless they say otherwise, and null is not the same as absent', async () => {
    const thrown: unknown = await check({}).catch((error: unknown) => error);
    const pointers = (thrown as Invalid).faults.map((fault) => fault.pointer);
    expect(new Set(pointers)).toEqual(new Set(Object.keys(good()).map((name) => `#/${name}`)));
    expect(await pointersFor({ maybe: null })).toEqual(['#/maybe']);
  });

  it.each<[string, unknown, string?]>([
    ['text', 'abcdef'],
    ['text', ''],
    ['text', 'a\u0000'],
    ['text', 'ABC'],
    ['text', 'a\ud800'],
    ['text', 7],
    ['yes', 'true'],
    ['one', 'c'],
    ['at', '2026-03-02T14:05:00'],
    ['at', '2026-02-30T14:05:00Z'],
    ['at', '2026-03-02'],
    ['on', '2026-02-29'],
    ['on', '2026-3-2'],
    ['zone', '+01:00'],
    ['zone', 'Mars/Olympus'],
    ['id', 'not-a-uuid'],
    ['inner', { n: 4 }, '#/inner/n'],
    ['inner', 'n'],
    ['inner', { n: 1, m: 1 }, '#/inner/m'],
    ['list', []],
    ['list', [{ n: 1 }, { n: 1.5 }], '#/list/1/n'],
    ['list', [{ n: 1 }, { n: 1 }, { n: 1 }]],
    ['texts', ['abcd']],
    ['texts', [7]],
    ['texts', ['a\u0000']],
    ['document', []],
    ['document', 'text'],
    ['document', { 'a\u0000': 1 }],
    ['value', ['\udc00']],
    ['value', { a: ['b\u0000'] }],
  ])('refuse %s: %j', async (name, value, pointer = `#/${name}`) => {
    expect(await pointersFor({ [name]: value })).toEqual([pointer]);
  });

  it('bound how deep a kept value is nested', () => {
    const nested = (levels: number): unknown => JSON.parse('['.repeat(levels) + ']'.repeat(levels));
    expect(isKeepableJson(nested(64))).toBe(true);
    expect(isKeepableJson(nested(66))).toBe(false);
  });
});
