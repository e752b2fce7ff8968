/** A message to another system: what happened, to whom it goes, and the claim it is about. */
export interface Notice {
  readonly id: string;
  readonly kind: string;
  readonly claim: string;
  readonly at: string;
}

export { signMessage, verifyMessage } from './domain/sign-message.js';
