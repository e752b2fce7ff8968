import type { ReactNode } from 'react';
import { moneyDecimal } from '../../../kernel/money.js';
import { REMEDIES } from '../../../kernel/vocabulary.js';
import type { CaseData } from '../../case-data.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { showMoney } from '../../domain/money-words.js';
import { remediesInWords, REMEDY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { Choose, TextLine } from '../parts/fields.js';
import { Amount, ForRetailer, KnownNow, Matter, PolicySays, Why, Words, type ActProps } from './case-act-fields.js';

/** How an act is called on the page and what it asks for. */
interface ActWords {
  readonly title: string;
  readonly button: string;
  readonly tone?: 'go' | 'no';
  readonly fields: (props: ActProps) => ReactNode;
}

/** Every act with its form. */
export const ACT_FORMS: Readonly<Record<ClaimAct, ActWords>> = {
  approve: {
    title: 'Approve as proposed',
    button: 'Approve',
    tone: 'go',
    fields: (props) => (
      <>
        <p>{proposedWords(props.view)}</p>
        {props.view.assessment?.verdict === 'to a person' ? <Why {...props} /> : null}
        <Matter {...props} />
        <ForRetailer {...props} />
      </>
    ),
  },
  'approve-in-part': {
    title: 'Approve in part',
    button: 'Approve this amount',
    fields: (props) => (
      <>
        <PolicySays {...props} />
        <Amount {...props} label="To the customer" />
        <Why {...props} />
        <Matter {...props} />
        <ForRetailer {...props} />
      </>
    ),
  },
  'other-remedy': {
    title: 'Another remedy',
    button: 'Approve this remedy',
    fields: (props) => (
      <>
        <PolicySays {...props} />
        <fieldset>
          <legend>Remedy</legend>
          {REMEDIES.filter((remedy) => remedy !== 'none').map((remedy) => (
            <label key={remedy} className="pick">
              <input type="checkbox" name="remedies" value={remedy} />
              {REMEDY_WORDS[remedy]}
            </label>
          ))}
        </fieldset>
        <Amount {...props} label="Money to the customer, 0 where there is none" />
        <Why {...props} />
        <Matter {...props} />
        <ForRetailer {...props} />
      </>
    ),
  },
  decline: {
    title: 'Decline',
    button: 'Decline the claim',
    tone: 'no',
    fields: (props) => (
      <>
        <PolicySays {...props} />
        <Why {...props} />
        <Matter {...props} />
        <ForRetailer {...props} />
      </>
    ),
  },
  confirm: {
    title: 'Confirm as the second person',
    button: 'Confirm',
    tone: 'go',
    fields: ({ view }) => (
      <>
        <p>You have looked at the case yourself and agree. The decision then stands.</p>
        <input type="hidden" name="n" value={String(awaitingNumber(view))} />
      </>
    ),
  },
  'send-back': {
    title: 'Send it back',
    button: 'Send it back',
    fields: (props) => (
      <>
        <input type="hidden" name="n" value={String(awaitingNumber(props.view))} />
        <Words {...props} name="because" label="What should be looked at again?" />
      </>
    ),
  },
  ask: {
    title: 'Ask for information',
    button: 'Ask',
    fields: (props) => (
      <>
        <Choose
          id="ask-of"
          name="of"
          label="Whom"
          value="retailer"
          options={(['retailer', 'crew', 'customer', 'carrier', 'maker'] as const).map(
            (of) => [of, sentenceCase(of)] as const,
          )}
        />
        <Words {...props} name="asked" label="What do you need to know?" />
      </>
    ),
  },
  answer: {
    title: 'Note the answer',
    button: 'Note it and assess again',
    tone: 'go',
    fields: (props) => (
      <>
        <Words {...props} name="words" label="What was answered, and by whom" />
        <KnownNow {...props} />
      </>
    ),
  },
  'look-again': {
    title: 'Assess again with new facts',
    button: 'Assess again',
    fields: (props) => (
      <>
        <Words {...props} name="words" label="What is new" />
        <KnownNow {...props} />
      </>
    ),
  },
  order: {
    title: 'Order the remedy',
    button: 'It is ordered',
    tone: 'go',
    fields: (props) => (
      <>
        <p>The payment is on its way, or the part, unit or visit is ordered.</p>
        <Words {...props} name="words" label="A remark, if there is one" optional />
      </>
    ),
  },
  settle: {
    title: 'Settle',
    button: 'It is settled',
    tone: 'go',
    fields: (props) => (
      <>
        <Amount {...props} label="Paid to the customer" value={standingTotal(props.view)} />
        <TextLine
          id="settle-reference"
          name="reference"
          label="Reference of the payment or shipment"
          required
          max={200}
          trouble={props.trouble}
        />
      </>
    ),
  },
  close: {
    title: 'Close the file',
    button: 'Close',
    tone: 'go',
    fields: (props) => <Words {...props} name="words" label="A remark, if there is one" optional />,
  },
  reopen: {
    title: 'Open it again',
    button: 'Open it again',
    fields: (props) => (
      <>
        <Words {...props} name="words" label="What is new, or what the appeal says" />
        <KnownNow {...props} />
      </>
    ),
  },
  withdraw: {
    title: 'Withdraw the claim',
    button: 'Withdraw',
    tone: 'no',
    fields: (props) => <Words {...props} name="reason" label="Why it is taken back" />,
  },
  note: {
    title: 'Write a note',
    button: 'Keep the note',
    fields: (props) => (
      <>
        <p className="quiet">It stands in the trail for good, for the desk alone.</p>
        <Words {...props} name="words" label="Note" />
      </>
    ),
  },
};

function proposedWords({ assessment }: CaseData): string {
  if (assessment === undefined) return 'There is no proposal yet.';
  const { chosen, customerTotalMinor, currency } = assessment.remedy;
  const remedies = remediesInWords(chosen.map(({ remedy }) => remedy));
  return `${remedies === '' ? 'No remedy' : remedies}; ${showMoney(customerTotalMinor, currency)} to the customer.`;
}

function awaitingNumber({ dossier }: CaseData): number {
  return dossier.decisions.find(({ state }) => state === 'awaiting second person')?.n ?? 0;
}

function standingTotal({ dossier, claim }: CaseData): string {
  const standing = dossier.decisions.find(({ state }) => state === 'standing');
  return moneyDecimal({ amountMinor: standing?.totalMinor ?? 0, currency: claim.currency });
}
