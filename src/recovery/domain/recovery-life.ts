import { accountOf, balancedBy, type Posting } from '../../kernel/double-entry.js';
import type { Party } from '../../kernel/vocabulary.js';
import type { RecoveryEventKind, RecoveryStanding, RecoveryState } from '../recovery.contract.js';

/** An act on a recovery with its amount, where it has one, in minor units of the recovery's currency. */
export type RecoveryAct =
  | { readonly kind: 'send' }
  | { readonly kind: 'acknowledge' }
  | { readonly kind: 'offer'; readonly amountMinor: number }
  | { readonly kind: 'pay'; readonly amountMinor: number }
  | { readonly kind: 'credit salvage'; readonly amountMinor: number }
  | { readonly kind: 'decline' }
  /** Without an amount: all that is still owed. */
  | { readonly kind: 'write off'; readonly amountMinor?: number };

/** What an act leads to: the standing afterwards, the event's code, and the postings that go with it. */
export interface Moved {
  readonly ok: true;
  readonly next: RecoveryStanding;
  readonly event: RecoveryEventKind;
  readonly postings: readonly Posting[];
  /** What really moved: a write-off without an amount, or salvage that exceeds what is owed. */
  readonly amountMinor: number;
}

export interface NotMoved {
  readonly ok: false;
  readonly refusal: 'recovery-state-forbids' | 'amount-exceeds';
  readonly detail: string;
}

const SENT: readonly RecoveryState[] = ['sent', 'acknowledged', 'offered', 'paid in part', 'declined'];

const FROM: Readonly<Record<RecoveryAct['kind'], readonly RecoveryState[]>> = {
  send: ['open'],
  acknowledge: ['sent', 'offered', 'paid in part', 'declined'],
  offer: SENT,
  pay: [...SENT, 'written off'],
  'credit salvage': SENT,
  decline: ['sent', 'acknowledged', 'offered', 'paid in part'],
  'write off': SENT,
};

/** What a party still owes of what was demanded of it; below nothing where it paid more than is demanded now. */
export function outstandingMinor(standing: RecoveryStanding): number {
  return standing.bookedMinor - standing.paidMinor - standing.salvageMinor - standing.writtenOffMinor;
}

/** Does one act, or says why it cannot be done. Every amount that moves is in the postings, and they sum to zero. */
export function act(party: Party, standing: RecoveryStanding, wish: RecoveryAct): Moved | NotMoved {
  if (!FROM[wish.kind].includes(standing.state)) {
    const detail = `The recovery is ${inWords(standing.state)}; this can only be done while it is ${either(FROM[wish.kind])}.`;
    return { ok: false, refusal: 'recovery-state-forbids', detail };
  }
  switch (wish.kind) {
    case 'send':
      return send(party, standing);
    case 'acknowledge': {
      const state = standing.state === 'sent' ? 'acknowledged' : standing.state;
      return plain({ ...standing, state }, 'demand-acknowledged');
    }
    case 'decline':
      return plain({ ...standing, state: 'declined' }, 'demand-declined');
    case 'offer': {
      const refused = tooMuch(wish.amountMinor, outstandingMinor(standing), 'offered');
      if (refused) return refused;
      const next = { ...standing, state: 'offered', offeredMinor: wish.amountMinor } as const;
      return { ...plain(next, 'offer-made'), amountMinor: wish.amountMinor };
    }
    case 'pay':
      return pay(party, standing, wish.amountMinor);
    case 'credit salvage':
      return creditSalvage(party, standing, wish.amountMinor);
    case 'write off':
      return writeOff(party, standing, wish.amountMinor ?? outstandingMinor(standing));
  }
}

/** Sending makes what is demanded a debt; sending a changed demand again books the difference. */
function send(party: Party, standing: RecoveryStanding): Moved {
  const amountMinor = standing.demandedMinor - standing.bookedMinor;
  const booked = { ...standing, bookedMinor: standing.demandedMinor };
  const postings = balancedBy('loss', [{ account: accountOf(party), amountMinor }]);
  return { ok: true, next: settled(booked, 'sent'), event: 'demand-sent', postings, amountMinor };
}

function pay(party: Party, standing: RecoveryStanding, amountMinor: number): Moved | NotMoved {
  const late = standing.state === 'written off';
  const refused = tooMuch(amountMinor, late ? standing.writtenOffMinor : outstandingMinor(standing), 'paid');
  if (refused) return refused;
  // A payment after the write-off takes back so much of it.
  const writtenOffMinor = standing.writtenOffMinor - (late ? amountMinor : 0);
  const paid = { ...standing, writtenOffMinor, paidMinor: standing.paidMinor + amountMinor };
  const from = late ? 'loss' : accountOf(party);
  const postings = balancedBy(from, [{ account: 'bank', amountMinor }]);
  const next = late ? paid : settled(paid, 'paid in part');
  return { ok: true, next, event: 'payment-received', postings, amountMinor };
}

/**
 * What the damaged goods fetched is credited to the party, never below nothing owed (49 CFR 370.11); the rest of the proceeds goes
 * against the salvage that the decision expected.
 */
function creditSalvage(party: Party, standing: RecoveryStanding, proceedsMinor: number): Moved | NotMoved {
  if (proceedsMinor <= 0) return tooSmall('Salvage');
  const credited = Math.min(proceedsMinor, Math.max(0, outstandingMinor(standing)));
  const postings = balancedBy('bank', [
    { account: accountOf(party), amountMinor: -credited },
    { account: 'salvage', amountMinor: -(proceedsMinor - credited) },
  ]);
  const next = settled({ ...standing, salvageMinor: standing.salvageMinor + credited }, standing.state);
  return { ok: true, next, event: 'salvage-credited', postings, amountMinor: credited };
}

function writeOff(party: Party, standing: RecoveryStanding, amountMinor: number): Moved | NotMoved {
  const refused = tooMuch(amountMinor, outstandingMinor(standing), 'written off');
  if (refused) return refused;
  const written = { ...standing, writtenOffMinor: standing.writtenOffMinor + amountMinor };
  const postings = balancedBy(accountOf(party), [{ account: 'loss', amountMinor }]);
  return { ok: true, next: settled(written, standing.state), event: 'balance-written-off', postings, amountMinor };
}

/** The state once the amounts are what they are: nothing owed is `paid` or `written off`, anything else keeps the state given. */
function settled(standing: RecoveryStanding, otherwise: RecoveryState): RecoveryStanding {
  if (outstandingMinor(standing) > 0) return { ...standing, state: otherwise };
  return { ...standing, state: standing.writtenOffMinor > 0 ? 'written off' : 'paid' };
}

function plain(next: RecoveryStanding, event: RecoveryEventKind): Moved {
  return { ok: true, next, event, postings: [], amountMinor: 0 };
}

function tooMuch(amountMinor: number, mostMinor: number, done: string): NotMoved | undefined {
  if (amountMinor <= 0) return tooSmall('The amount');
  if (amountMinor <= mostMinor) return undefined;
  const detail = `No more than the ${mostMinor} minor units that are still owed can be ${done}.`;
  return { ok: false, refusal: 'amount-exceeds', detail };
}

function tooSmall(what: string): NotMoved {
  return { ok: false, refusal: 'amount-exceeds', detail: `${what} must be more than nothing.` };
}

function inWords(state: RecoveryState): string {
  return state === 'open' ? 'not sent yet' : state;
}

function either(states: readonly RecoveryState[]): string {
  const words = states.map(inWords);
  return words.length === 1 ? `${words[0]}` : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;
}

/**
 * The standing of a recovery whose demand changed because another decision stands. What was sent must be sent again; a demand never
 * sent for nothing is withdrawn.
 */
export function demandChanged(standing: RecoveryStanding, demandedMinor: number): RecoveryStanding {
  const next = { ...standing, demandedMinor };
  if (demandedMinor === 0 && standing.bookedMinor === 0) return { ...next, state: 'withdrawn' };
  if (demandedMinor === standing.bookedMinor)
    return next.state === 'open' || next.state === 'withdrawn' ? { ...next, state: 'open' } : next;
  return { ...next, state: 'open' };
}
