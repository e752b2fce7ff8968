import { createHmac, timingSafeEqual } from 'node:crypto';

/** One picture, for whoever holds the link, until an instant. */
export interface PictureLink {
  /** uuid */
  readonly tenant: string;
  /** uuid */
  readonly photo: string;
  /** Longest side in pixels. */
  readonly size: number;
  /** Seconds since 1970 from which on the link does not count any more. */
  readonly until: number;
}

/** Signs a link: HMAC-SHA256 (RFC 2104, FIPS 198-1) over all of its parts, in base64url. */
export function signLink(link: PictureLink, secret: string): string {
  return mac(link, secret).toString('base64url');
}

/**
 * Whether a link was signed with the secret and still counts. The comparison takes the same time wherever it fails.
 * @param now seconds since 1970
 */
export function judgeLink(
  link: PictureLink,
  signature: string,
  secret: string,
  now: number,
): 'good' | 'forged' | 'late' {
  const given = /^[A-Za-z0-9_-]{43}$/.test(signature) ? Buffer.from(signature, 'base64url') : Buffer.alloc(32);
  if (!timingSafeEqual(mac(link, secret), given)) return 'forged';
  return now < link.until ? 'good' : 'late';
}

function mac({ tenant, photo, size, until }: PictureLink, secret: string): Buffer {
  return createHmac('sha256', secret).update(`picture-link/1\n${tenant}\n${photo}\n${size}\n${until}`).digest();
}
