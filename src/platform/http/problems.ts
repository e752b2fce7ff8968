import type { Fault } from '../../kernel/outcome.js';

/** What a problem code means to a client: the HTTP status (RFC 9110) and a title that never changes with the occurrence. */
export interface ProblemKind {
  readonly status: number;
  readonly title: string;
}

/**
 * Every problem the service answers with (RFC 9457). The code is the last part of the `type` address, and docs/problems holds
 * one page for each.
 */
export const PROBLEMS = {
  // Getting in
  'sign-in-required': { status: 401, title: 'You need to sign in' },
  'sign-in-refused': { status: 401, title: 'E-mail address or password is not right' },
  'too-many-attempts': { status: 429, title: 'Too many attempts' },
  'link-expired': { status: 401, title: 'The visit link has expired' },
  'link-unknown': { status: 401, title: 'The visit link is not known' },
  'not-allowed': { status: 403, title: 'You are not allowed to do this' },
  'cross-site-request': { status: 403, title: 'The request came from another site' },
  'password-too-weak': { status: 422, title: 'The password is too easy to guess' },
  'company-exists': { status: 409, title: 'There is a company with this code already' },
  'email-taken': { status: 409, title: 'Somebody with this e-mail address exists already' },
  // Requests
  'not-found': { status: 404, title: 'There is no such thing' },
  'method-not-allowed': { status: 405, title: 'This address does not take that method' },
  'invalid-request': { status: 400, title: 'The request has mistakes' },
  'malformed-json': { status: 400, title: 'The body is not JSON' },
  'body-too-large': { status: 413, title: 'The body is too large' },
  'unsupported-media-type': { status: 415, title: 'This address does not take that kind of content' },
  'cursor-invalid': { status: 400, title: 'The page cursor is not one of ours' },
  'precondition-required': { status: 428, title: 'If-Match is needed' },
  'version-changed': { status: 412, title: 'Somebody changed it in the meantime' },
  'idempotency-key-missing': { status: 400, title: 'Idempotency-Key is needed' },
  'idempotency-key-in-use': { status: 409, title: 'The same request is still running' },
  'idempotency-key-reused': { status: 422, title: 'The Idempotency-Key was used for another request' },
  // Visits and inspections
  'serial-not-in-visit': { status: 422, title: 'The serial number is not part of the visit' },
  'unknown-model': { status: 422, title: 'The model is not in the catalogue' },
  'item-not-asked': { status: 422, title: 'The checklist does not ask this item' },
  'answer-invalid': { status: 422, title: 'The answer does not fit the question' },
  'checklist-not-published': { status: 422, title: 'No checklist is published for this model' },
  'model-exists': { status: 409, title: 'The catalogue has a model with this code already' },
  'visit-exists': { status: 409, title: 'There is a visit for this order already' },
  'checklist-invalid': { status: 422, title: 'The checklist has faults' },
  'evidence-model-invalid': { status: 422, title: 'The evidence model has faults' },
  'evidence-model-not-published': { status: 422, title: 'No evidence model is published for this model' },
  'already-published': { status: 409, title: 'A published version never changes' },
  'inspection-id-taken': { status: 409, title: 'Another inspection has this id' },
  'inspection-finished': { status: 409, title: 'The inspection is finished' },
  'inspection-incomplete': { status: 422, title: 'The inspection is not complete' },
  'safety-stop-stands': { status: 409, title: 'A safety stop has not been acknowledged' },
  // Photos
  'photo-digest-missing': { status: 400, title: 'The digest of the photo is missing' },
  'photo-digest-mismatch': { status: 400, title: 'The photo arrived damaged' },
  'photo-not-an-image': { status: 415, title: 'The file is not a photo' },
  'photo-damaged': { status: 422, title: 'The photo cannot be read' },
  'photo-too-large': { status: 413, title: 'The photo file is too large' },
  'photo-too-many-pixels': { status: 422, title: 'The photo has too many pixels' },
  'photo-empty': { status: 400, title: 'The photo file is empty' },
  'photo-quota-reached': { status: 507, title: 'The house keeps as many photos as it may' },
  'picture-link-invalid': { status: 403, title: 'The link to the picture is not one of ours' },
  'picture-link-expired': { status: 410, title: 'The link to the picture has expired' },
  'too-many-uploads': { status: 429, title: 'Too many photos are on their way at once' },
  'upload-version-unsupported': { status: 412, title: 'The version of the upload protocol is not spoken here' },
  'upload-offset-differs': { status: 409, title: 'The upload has another length than the request says' },
  'upload-incomplete': { status: 409, title: 'The upload is not complete' },
  'upload-in-use': { status: 423, title: 'Another request of this upload is running' },
  // The status is that of the tus protocol for a checksum that does not match.
  'upload-digest-mismatch': { status: 460, title: 'The upload does not have the bytes of its digest' },
  'photo-id-taken': { status: 409, title: 'Another photo has this id' },
  // Claims
  'claim-state-forbids': { status: 409, title: 'The claim is not at the step for this' },
  'claim-taken': { status: 409, title: 'Somebody else has the claim' },
  'claim-withdrawn': { status: 409, title: 'The claim was withdrawn' },
  'claim-incomplete': { status: 422, title: 'The claim is not complete' },
  'duplicate-claim': { status: 409, title: 'There is a claim for this unit already' },
  'own-claim': { status: 403, title: 'Nobody decides a claim that they filed' },
  'second-person-needed': { status: 409, title: 'A second person has to confirm' },
  'same-person': { status: 403, title: 'The second person must be somebody else' },
  'amount-currency-differs': { status: 422, title: 'The amount is in another currency' },
  'amount-exceeds': { status: 422, title: 'The amount is more than allowed' },
  'reason-required': { status: 422, title: 'A reason is needed' },
  'nothing-to-decide': { status: 409, title: 'There is nothing to decide' },
  'nothing-to-learn': { status: 409, title: 'There is nothing to learn from' },
  'policy-invalid': { status: 422, title: 'The policy has faults' },
  'policy-content-changed': { status: 412, title: 'The policy is not what you looked at' },
  'policy-state-forbids': { status: 409, title: 'The version is not in a state for that' },
  'rehearsal-needed': { status: 409, title: 'No rehearsal of this content has finished' },
  'rehearsal-ended': { status: 409, title: 'The rehearsal has ended already' },
  'policy-missing': { status: 422, title: 'No policy is in force for this place and day' },
  // Recovery
  'recovery-state-forbids': { status: 409, title: 'The recovery is not at the step for this' },
  'recovery-incomplete': { status: 422, title: 'The demand is not a complete claim' },
  // Us
  'server-error': { status: 500, title: 'Something broke on our side' },
  unavailable: { status: 503, title: 'The service cannot answer just now' },
} as const satisfies Readonly<Record<string, ProblemKind>>;

export type ProblemCode = keyof typeof PROBLEMS;

/** Further members of a problem (RFC 9457 section 3.2), plain JSON. Names of at least three letters, digits or underscores. */
export type ProblemExtras = Readonly<Record<string, unknown>>;

/**
 * An expected refusal, carried to the edge of the service. The only kind of error, with `Invalid`, whose text a client sees.
 * @param code from the catalogue
 * @param detail a sentence about this occurrence: what happened and what to do; the title is used when it is absent
 * @param extra further members; `retryAfterSeconds` also becomes the Retry-After header
 */
export class Refused extends Error {
  readonly faults: readonly Fault[] = [];

  constructor(
    readonly code: ProblemCode,
    readonly detail?: string,
    readonly extra: ProblemExtras = {},
  ) {
    super(detail ?? PROBLEMS[code].title);
    this.name = 'Refused';
  }
}

/** A request with mistakes, each with its JSON Pointer. @param code a more exact code than `invalid-request` where there is one */
export class Invalid extends Refused {
  override readonly faults: readonly Fault[];

  constructor(faults: readonly Fault[], code: ProblemCode = 'invalid-request', detail?: string) {
    super(code, detail ?? 'Correct what is listed under errors and send the request again.');
    this.name = 'Invalid';
    this.faults = faults;
  }
}

/** A problem as it goes over the wire. */
export interface Problem {
  readonly type: string;
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly instance: string;
  readonly errors?: readonly Fault[];
  readonly traceId: string;
  readonly [extra: string]: unknown;
}

/** Writes a refusal as a problem document. @param instance path of the request @param traceId id of the request in the logs */
export function problemOf(refused: Refused, instance: string, traceId: string): Problem {
  const kind = PROBLEMS[refused.code];
  return {
    ...refused.extra,
    type: `/problems/${refused.code}`,
    title: kind.title,
    status: kind.status,
    detail: refused.detail ?? `${kind.title}.`,
    instance,
    ...(refused.faults.length === 0 ? {} : { errors: refused.faults }),
    traceId,
  };
}

export function isProblemCode(text: string): text is ProblemCode {
  return Object.hasOwn(PROBLEMS, text);
}
