import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { digestField, parseDigestField } from './content-digest.js';

// RFC 9530 appendix D: the content is {"hello": "world"} with a line feed at the end, 19 bytes.
const WITH_LF = 'RK/0qy18MlBSVnWgjwz6lZEWjP/lF5HF9bvEF8FabDg=';
const WITHOUT_LF = 'X48E9qOokqqrvdts8nOJRJN3OWDUoyWxBf7kbu9DBPE=';
const EMPTY = '47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=';
const BYTES_10_TO_18 = 'jjcgBDWNAtbYUXI37CVG3gRuGOAjaaDRGpIUFsdyepQ=';
const SHA_512 = 'YMAam51Jz/jOATT6/zvHrLVgOYTGFy1d6GJiOHTohq4yP+pgk4vf2aCsyRZOtw8MjkM7iw7yZ/WkppmM44T3qg==';
const hex = (content: string) => createHash('sha256').update(content).digest('hex');
const CONTENT = '{"hello": "world"}\n';

describe('a digest field', () => {
  it.each([
    ['with the line feed', WITH_LF, CONTENT],
    ['without it', WITHOUT_LF, CONTENT.trimEnd()],
    ['of nothing', EMPTY, ''],
    ['of bytes 10 to 18', BYTES_10_TO_18, CONTENT.slice(10)],
  ])('states the sha-256 %s', (_what, base64, content) => {
    expect(parseDigestField(`sha-256=:${base64}:`)).toEqual({ ok: true, sha256: hex(content) });
    expect(digestField(hex(content))).toBe(`sha-256=:${base64}:`);
  });

  it('ignores algorithms that are not known here, wherever they stand', () => {
    const expected = { ok: true, sha256: hex(CONTENT) };
    expect(parseDigestField(`sha-512=:${SHA_512}:,sha-256=:${WITH_LF}:`)).toEqual(expected);
    expect(parseDigestField(`  sha-256=:${WITH_LF}: ,\tunixsum=30637, md5 , x="a, b\\"c"; p=1;q=:AA==:`)).toEqual(
      expected,
    );
  });

  it('takes the last of two members of one name (RFC 8941 section 3.2)', () => {
    expect(parseDigestField(`sha-256=:${EMPTY}:, sha-256=:${WITH_LF}:`)).toEqual({ ok: true, sha256: hex(CONTENT) });
  });

  it('reads base64 without its padding (RFC 8941 section 4.2.7)', () => {
    expect(parseDigestField(`sha-256=:${WITH_LF.slice(0, -1)}:`)).toEqual({ ok: true, sha256: hex(CONTENT) });
  });

  it.each([
    ['absent', undefined],
    ['absent', '  '],
    ['no sha-256', `sha-512=:${SHA_512}:`],
    ['unreadable', `sha-256=${WITH_LF}`],
    ['unreadable', `SHA-256=:${WITH_LF}:`],
    ['unreadable', `sha-256=:${WITH_LF}`],
    ['unreadable', `sha-256=:${SHA_512}:`],
    ['unreadable', 'sha-256=:AAAA:'],
    ['unreadable', 'sha-256=:A:'],
    ['unreadable', 'sha-256="text"'],
    ['unreadable', 'sha-256'],
    ['unreadable', `sha-256=:${WITH_LF}:,`],
    ['unreadable', `sha-256=:${WITH_LF}: sha-512=:AA==:`],
    ['unreadable', `sha-256=:${WITH_LF}:; `],
  ])('is refused as %s: %j', (reason, field) => {
    expect(parseDigestField(field)).toMatchObject({ ok: false, reason });
  });
});
