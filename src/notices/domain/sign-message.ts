import { createHmac, timingSafeEqual } from 'node:crypto';

/** Seconds by which a message may be early or late; the tolerance of the Standard Webhooks reference code. */
export const TOLERANCE_SECONDS = 300;

/**
 * Signature of a webhook message under the Standard Webhooks specification: `v1,` and the base64 HMAC-SHA256 of "id.timestamp.body".
 * @param secret base64, with or without the `whsec_` prefix @param timestamp whole seconds since 1970
 * @throws RangeError when the secret is shorter than 24 bytes (the specification's floor).
 */
export function signMessage(secret: string, id: string, timestamp: number, body: string): string {
  const key = Buffer.from(secret.replace(/^whsec_/, ''), 'base64');
  if (key.length < 24) throw new RangeError('the secret is too short');
  return `v1,${createHmac('sha256', key).update(`${id}.${timestamp}.${body}`).digest('base64')}`;
}

/** Whether one of the space-separated signatures fits and the time is within tolerance. Signatures of other versions are ignored. */
export function verifyMessage(
  secret: string,
  message: { readonly id: string; readonly timestamp: number; readonly body: string; readonly signatures: string },
  nowSeconds: number,
): boolean {
  if (Math.abs(nowSeconds - message.timestamp) > TOLERANCE_SECONDS) return false;
  const expected = Buffer.from(signMessage(secret, message.id, message.timestamp, message.body));
  return message.signatures.split(' ').some((signature) => {
    const given = Buffer.from(signature);
    return given.length === expected.length && timingSafeEqual(given, expected);
  });
}
