import { describe, expect, it } from 'vitest';
import { signMessage, verifyMessage } from './sign-message.js';

// Vector of the Standard Webhooks specification and its reference tests.
const secret = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw';
const id = 'msg_p5jXN8AQM9LWM0D4loKWxJek';
const timestamp = 1_614_265_330;
const body = '{"test": 2432232314}';
const signature = 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=';

describe('webhook signatures', () => {
  it('equal the published vector', () => {
    expect(signMessage(secret, id, timestamp, body)).toBe(signature);
  });

  it('verify among several, ignoring unknown versions', () => {
    const signatures = `v9,AAAA v1,AAAA ${signature}`;
    expect(verifyMessage(secret, { id, timestamp, body, signatures }, timestamp)).toBe(true);
  });

  it('fail for one changed byte and for a time 301 seconds off, but not 300', () => {
    expect(
      verifyMessage(secret, { id, timestamp, body: body.replace('4', '5'), signatures: signature }, timestamp),
    ).toBe(false);
    expect(verifyMessage(secret, { id, timestamp, body, signatures: signature }, timestamp + 300)).toBe(true);
    expect(verifyMessage(secret, { id, timestamp, body, signatures: signature }, timestamp + 301)).toBe(false);
  });

  it('refuse an empty secret', () => {
    expect(() => signMessage('', id, timestamp, body)).toThrow('too short');
  });
});
