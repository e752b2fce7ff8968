import { useRef, useState, type ReactNode } from 'react';
import { REMEDIES } from '../../../kernel/vocabulary.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { showMoney } from '../../domain/money-words.js';
import { remediesInWords, REMEDY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { moneyDecimal } from '../../../kernel/money.js';
import { useAct } from './use-act.js';
import type { Seen } from './use-seen.js';
import { Amount, KnownNow, Why, Words, type ActProps } from './case-act-fields.js';
import type { CaseData } from '../../case-data.js';
import { Choose, TextLine, TroubleNote } from '../parts/fields.js';
import { Note } from '../parts/parts.js';

interface ActWords {
  readonly title: string;
  readonly button: string;
  readonly tone?: 'go' | 'no';
  readonly fields: (props: ActProps) => ReactNode;
}

const ACTS: Readonly<Record<ClaimAct, ActWords>> = {
  approve: {
    title: 'Approve as proposed',
    button: 'Approve',
    tone: 'go',
    fields: (props) => (
      <>
        <p>{proposedWords(props.view)}</p>
        {props.view.assessment?.verdict === 'to a person' ? <Why {...props} /> : null}
      </>
    ),
  },
  'approve-in-part': {
    title: 'Approve in part',
    button: 'Approve this amount',
    fields: (props) => (
      <>
        <Amount {...props} label="To the customer" />
        <Why {...props} />
      </>
    ),
  },
  'other-remedy': {
    title: 'Another remedy',
    button: 'Approve this remedy',
    fields: (props) => (
      <>
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
      </>
    ),
  },
  decline: { title: 'Decline', button: 'Decline the claim', tone: 'no', fields: (props) => <Why {...props} /> },
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
};

/** The acts that the case has room for, each folded away behind its name until it is wanted. */
export function CaseActs({ view, seen }: { readonly view: CaseData; readonly seen: Seen }): ReactNode {
  const [typed, setTyped] = useState<ReadonlySet<ClaimAct>>(new Set());
  if (!view.mayAct) return null;
  const { acts, notYours } = view.acts;
  // What somebody has typed stays on the page, also where the act has become impossible meanwhile.
  const shown = [...acts, ...[...typed].filter((act) => !acts.includes(act))];
  const note = (act: ClaimAct, is: boolean): void => {
    const now = new Set(is ? [...typed, act] : [...typed].filter((each) => each !== act));
    setTyped(now);
    seen.typed(now.size > 0);
  };
  return (
    <section className="sheet acts" id="acts">
      <h2>Your move</h2>
      {notYours === null ? null : (
        <Note tone="info">
          <p>{notYours}</p>
        </Note>
      )}
      {shown.length === 0 && notYours === null ? <p className="quiet">Nothing is left to do here.</p> : null}
      {shown.map((act) => (
        <Act
          key={act}
          view={view}
          act={act}
          seen={seen}
          gone={!acts.includes(act)}
          onTyped={() => note(act, true)}
          onDone={() => note(act, false)}
        />
      ))}
    </section>
  );
}

interface OneActProps {
  readonly view: CaseData;
  readonly act: ClaimAct;
  readonly seen: Seen;
  /** The case has no room for it any more, but something was typed. */
  readonly gone: boolean;
  readonly onTyped: () => void;
  readonly onDone: () => void;
}

function Act({ view, act, seen, gone, onTyped, onDone }: OneActProps): ReactNode {
  const { title, button, tone, fields } = ACTS[act];
  const form = useRef<HTMLFormElement>(null);
  const taken = (): void => {
    form.current?.reset();
    onDone();
  };
  const { run, trouble, running } = useAct(view.claim.id, { taken, overtaken: seen.look });
  const [open, setOpen] = useState(view.acts.acts[0] === act && act !== 'withdraw');
  return (
    <details className="act" id={act} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{title}</summary>
      <form
        ref={form}
        className="stack"
        onInput={onTyped}
        onSubmit={(event) => {
          event.preventDefault();
          if (!gone) run(act, seen.version, new FormData(event.currentTarget));
        }}
      >
        <TroubleNote trouble={trouble} />
        {gone ? (
          <Note tone="warn" title="This cannot be done any more.">
            <p>{view.standing.says} What you typed is kept here so that you can copy it.</p>
          </Note>
        ) : null}
        {fields({ view, act, trouble })}
        {gone ? (
          <button type="button" onClick={onDone}>
            Put it away
          </button>
        ) : (
          <button className={tone} disabled={running}>
            {running ? 'Sending…' : button}
          </button>
        )}
      </form>
    </details>
  );
}

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
