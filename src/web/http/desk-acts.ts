import { Injectable } from '@nestjs/common';
import type { Actor } from '../../access/access.contract.js';
import { ClaimDecisionsService } from '../../claims/claim-decisions.service.js';
import { ClaimReviewService } from '../../claims/claim-review.service.js';
import { ClaimSettlementService } from '../../claims/claim-settlement.service.js';
import { OVERRIDE_REASONS } from '../../claims/claims.contract.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { REMEDIES } from '../../kernel/vocabulary.js';
import type { VersionMatch } from '../../platform/http/versions.js';
import type { ClaimAct } from '../domain/claim-acts.js';
import { moneyExample, readMoney } from '../domain/money-words.js';
import { fault, maybeText, needText, oneOf, text, texts, versionSeen, type Form } from '../form-fields.js';

type DecisionWish = Parameters<ClaimDecisionsService['decide']>[2];
type SuppliedFacts = Parameters<ClaimReviewService['lookAgain']>[2]['facts'];

const LONGEST_NOTE = 4000;

/** One act, with everything it needs. */
interface Doing {
  readonly actor: Actor;
  readonly id: string;
  readonly form: Form;
  readonly match: VersionMatch;
}

/** Turns the forms of a case into acts on its claim. */
@Injectable()
export class DeskActs {
  constructor(
    private readonly claims: ClaimsService,
    private readonly decisions: ClaimDecisionsService,
    private readonly review: ClaimReviewService,
    private readonly settlement: ClaimSettlementService,
  ) {}

  /** @throws Invalid for what is missing in the form; Refused as the act's own rules say */
  async do(actor: Actor, id: string, act: ClaimAct, form: Form): Promise<unknown> {
    const doing = { actor, id, form, match: versionSeen(form) };
    switch (act) {
      case 'approve':
      case 'approve-in-part':
      case 'other-remedy':
      case 'decline':
        return this.decisions.decide(actor, id, await this.wishFrom(doing, act), doing.match);
      case 'confirm':
        return this.decisions.confirm(actor, id, decisionNumber(form), doing.match);
      case 'send-back':
        return this.decisions.sendBack(
          actor,
          id,
          decisionNumber(form),
          needText(form, 'because', 'The reason'),
          doing.match,
        );
      case 'order':
        return this.settlement.orderSettlement(actor, id, maybeText(form, 'words', 'The remark') ?? null, doing.match);
      case 'settle':
        return this.settle(doing);
      case 'close':
        return this.settlement.close(actor, id, maybeText(form, 'words', 'The remark') ?? null, doing.match);
      case 'note':
        return this.review.remark(actor, id, needText(form, 'words', 'The note', LONGEST_NOTE), doing.match);
      case 'withdraw':
        return this.claims.withdraw(actor, id, needText(form, 'reason', 'The reason'), doing.match);
      default:
        return this.inform(doing, act);
    }
  }

  private async inform(
    { actor, id, form, match }: Doing,
    act: 'ask' | 'answer' | 'look-again' | 'reopen',
  ): Promise<unknown> {
    if (act === 'ask') {
      const of = oneOf(form, 'of', ['crew', 'retailer', 'maker', 'carrier', 'customer'] as const, 'Whom to ask');
      return this.review.ask(actor, id, { asked: needText(form, 'asked', 'The question'), of }, match);
    }
    const given = { words: needText(form, 'words', 'The text'), facts: factsFrom(form) };
    if (act === 'answer') return this.review.giveInformation(actor, id, given, match);
    return act === 'reopen'
      ? this.review.reopen(actor, id, given, match)
      : this.review.lookAgain(actor, id, given, match);
  }

  private async settle({ actor, id, form, match }: Doing): Promise<unknown> {
    const { currency } = await this.claims.get(actor, id);
    const paid = {
      amountMinor: amountFrom(form, currency),
      currency,
      reference: needText(form, 'reference', 'The reference', 200),
    };
    return this.settlement.settle(actor, id, paid, match);
  }

  private async wishFrom(
    { actor, id, form }: Doing,
    act: 'approve' | 'approve-in-part' | 'other-remedy' | 'decline',
  ): Promise<DecisionWish> {
    const reason = OVERRIDE_REASONS.find((each) => each === text(form, 'reason'));
    const words = maybeText(form, 'words', 'The text');
    const why = {
      ...(reason === undefined ? {} : { reason }),
      ...(words === undefined ? {} : { words }),
      ...saidToRetailer(form),
      ...mattersFrom(form),
    };
    if (act === 'approve') return { outcome: 'approved', ...why };
    if (act === 'decline') return { outcome: 'declined', ...why };
    const { currency } = await this.claims.get(actor, id);
    const amount = { totalMinor: amountFrom(form, currency), currency };
    if (act === 'approve-in-part') return { outcome: 'approved in part', ...amount, ...why };
    const remedies = REMEDIES.filter((remedy) => texts(form, 'remedies').includes(remedy));
    if (remedies.length === 0) throw fault('remedies', 'Choose at least one remedy.');
    return { outcome: 'approved', remedies, ...amount, ...why };
  }
}

/** What is said to the retailer, in the languages in which something was typed. */
function saidToRetailer(form: Form): Pick<DecisionWish, 'toRetailer'> {
  const en = maybeText(form, 'retailerEn', 'The text in English');
  const es = maybeText(form, 'retailerEs', 'The text in Spanish');
  if (en === undefined && es === undefined) return {};
  return { toRetailer: { ...(en === undefined ? {} : { en }), ...(es === undefined ? {} : { es }) } };
}

/** What was the matter, for each finding for which the person named it; the fields are `matter:SUBJECT`. */
function mattersFrom(form: Form): Pick<DecisionWish, 'explanations'> {
  const named = Object.keys(form).flatMap((name) => {
    const explanation = text(form, name);
    return name.startsWith(MATTER) && explanation !== '' ? [[name.slice(MATTER.length), explanation] as const] : [];
  });
  return named.length === 0 ? {} : { explanations: Object.fromEntries(named) };
}

const MATTER = 'matter:';

function amountFrom(form: Form, currency: string): number {
  const amount = readMoney(text(form, 'amount'), currency);
  if (amount === undefined)
    throw fault('amount', `This is not an amount in ${currency}. Write it like ${moneyExample(currency)}.`);
  return amount;
}

function decisionNumber(form: Form): number {
  const n = text(form, 'n');
  if (!/^[1-9]\d{0,5}$/.test(n)) throw fault('n', 'The form is not complete. Open the page again.');
  return Number(n);
}

/** Facts that the person now knows; what was left on "as before" is not among them. */
function factsFrom(form: Form): SuppliedFacts {
  const packaging = (['kept', 'thrown away', 'not known'] as const).find((each) => each === text(form, 'packaging'));
  const steps = text(form, 'steps');
  const repairs = text(form, 'repairs');
  if (repairs !== '' && !/^\d{1,2}$/.test(repairs))
    throw fault('repairs', 'The number of failed repairs must be a whole number.');
  return {
    ...(packaging === undefined ? {} : { packaging }),
    ...(steps === '' ? {} : { stepsFollowed: steps === 'yes' }),
    ...(repairs === '' ? {} : { failedRepairs: Number(repairs) }),
  };
}
