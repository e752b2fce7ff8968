import { createHash, randomBytes } from 'node:crypto';

/** Kinds of secrets that are handed out, by the letters in front. They let a person and a leak scanner tell them apart. */
export const TOKEN_PREFIX = { session: 'ans_', key: 'ank_', link: 'anl_' } as const;
export type TokenKind = keyof typeof TOKEN_PREFIX;

/** A secret as it is handed out once, and what is kept of it. */
export interface Token {
  /** Prefix and 32 random bytes in base64url. */
  readonly text: string;
  /** SHA-256 of the text. The text has 256 random bits, so a fast hash is enough. */
  readonly hash: Buffer;
}

/** Makes a secret. */
export function newToken(kind: TokenKind): Token {
  const text = TOKEN_PREFIX[kind] + randomBytes(32).toString('base64url');
  return { text, hash: tokenHash(text) };
}

export function tokenHash(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}

/** What kind of secret a text claims to be; undefined when it has not the form of one. */
export function tokenKind(text: string): TokenKind | undefined {
  const match = /^(an[skl]_)[A-Za-z0-9_-]{43}$/.exec(text);
  const kinds = Object.keys(TOKEN_PREFIX) as TokenKind[];
  return kinds.find((kind) => TOKEN_PREFIX[kind] === match?.[1]);
}
