import { describe, expect, it } from 'vitest';
import { canonicalJson, contentHash, sha256Hex } from './canonical-json.js';

describe('JSON Canonicalization Scheme, RFC 8785', () => {
  // Inputs and outputs of the test data published with RFC 8785.
  it.each([
    ['arrays', '[56,{"d":true,"10":null,"1":[]}]', '[56,{"1":[],"10":null,"d":true}]'],
    [
      'numbers',
      '[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001]',
      '[333333333.3333333,1e+30,4.5,0.002,1e-27]',
    ],
    ['strings', String.raw`"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/"`, String.raw`"€$\u000f\nA'B\"\\\\\"/"`],
    [
      'structures',
      String.raw`{"1":{"f":{"f":"hi","F":5},"\n":56.0},"10":{},"":"empty","a":{},"111":[{"e":"yes","E":"no"}],"A":{}}`,
      String.raw`{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}`,
    ],
    ['no normalisation of letters', String.raw`"A\u030a"`, '"A\u030a"'],
  ])('%s', (_, input, output) => {
    expect(canonicalJson(JSON.parse(input))).toBe(output);
  });

  it('sorts keys by UTF-16 code units', () => {
    const keys = ['\u20ac', '\r', '\ufb33', '1', '\u{1f602}', '\u0080', '\u00f6', '\n', '</script>'];
    const sorted = ['\n', '\r', '1', '</script>', '\u0080', '\u00f6', '\u20ac', '\u{1f602}', '\ufb33'];
    const text = canonicalJson(Object.fromEntries(keys.map((key) => [key, 0])));
    expect([...text.matchAll(/"((?:[^"\\]|\\.)*)":0/gu)].map((m) => JSON.parse(`"${m[1]}"`) as string)).toEqual(sorted);
  });

  // IEEE 754 bit patterns and their text, RFC 8785 appendix B.
  it.each([
    ['4340000000000001', '9007199254740994'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['8000000000000000', '0'],
  ])('the double %s is %s', (bits, text) => {
    expect(canonicalJson(Buffer.from(bits, 'hex').readDoubleBE(0))).toBe(text);
  });

  it('refuses what JSON cannot hold', () => {
    expect(() => canonicalJson(Number.NaN)).toThrow();
    expect(() => canonicalJson({ a: Infinity })).toThrow();
    expect(() => canonicalJson(undefined)).toThrow(RangeError);
  });

  it('hashes alike whatever the order of the keys', () => {
    expect(contentHash({ a: 1, b: [{ c: 2, d: null }] })).toBe(contentHash({ b: [{ d: null, c: 2 }], a: 1 }));
    expect(contentHash({ a: 1 })).not.toBe(contentHash({ a: '1' }));
  });
});

describe('SHA-256', () => {
  // Examples of FIPS 180-4.
  it.each([
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ])('of %.20s…', (text, hash) => {
    expect(sha256Hex(text)).toBe(hash);
    expect(sha256Hex(new TextEncoder().encode(text))).toBe(hash);
  });

  // RFC 9530 appendix B: content {"hello": "world"} with and without the line feed, as base64.
  it.each([
    ['{"hello": "world"}\n', 'RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg='],
    ['{"hello": "world"}', 'X48E9qOokqqrvdts8nOJRJN3OWDUoyWxBf7kbu9DBPE='],
  ])('of %j', (text, base64) => {
    expect(sha256Hex(text)).toBe(Buffer.from(base64, 'base64').toString('hex'));
  });
});
