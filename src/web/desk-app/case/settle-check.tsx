import { useState, type ReactNode } from 'react';
import type { Disagreement } from '../../../inspections/phones.contract.js';
import type { CaseData } from '../../case-data.js';
import { showTime } from '../../domain/time-words.js';
import { useSettling } from '../api/phones.js';
import { TextBox, TroubleNote } from '../parts/fields.js';
import { Mark, Time } from '../parts/parts.js';
import { wordsOf } from './said-words.js';
import type { Seen } from './use-seen.js';

interface SettleCheckProps {
  readonly view: CaseData;
  readonly seen: Seen;
  readonly disagreement: Disagreement;
}

/** One check on which two phones do not agree: what each said, what was settled, and settling it. */
export function SettleCheck({ view, seen, disagreement }: SettleCheckProps): ReactNode {
  const { item, answers, settled, open } = disagreement;
  const { zone } = view.visit;
  const said = (value: unknown): string => wordsOf(view, item, value).said;
  // Two phones of one crew are told apart by how their ids begin.
  const sameName = new Set(answers.map(({ crew }) => crew)).size < answers.length;
  return (
    <section className="stack" aria-label={`Two phones disagree: ${wordsOf(view, item, null).ask}`}>
      <div className="row spread">
        <h3>{wordsOf(view, item, null).ask}</h3>
        {open ? (
          <Mark shape="triangle" tone="warn" says="Two phones disagree" />
        ) : (
          <Mark shape="tick" tone="ok" says="Settled" />
        )}
      </div>
      <ul>
        {answers.map((answer) => (
          <li key={answer.fact}>
            <strong>{said(answer.value)}</strong>
            <span className="sub">
              {answer.crew}
              {sameName ? `, phone ${answer.phone.slice(0, 4)}` : ''}, <Time at={answer.at} zone={zone} />
              {answer.saidAt === undefined ? '' : ` by our clock, ${showTime(answer.saidAt, zone)} by the phone’s own`}
              {answer.note === undefined ? '' : `: “${answer.note}”`}
            </span>
          </li>
        ))}
      </ul>
      {settled === undefined ? null : (
        <p>
          {open ? 'Settled before, and said anew since: ' : 'What counts: '}
          <strong>{said(settled.value)}</strong>
          <span className="sub">
            {settled.by}, <Time at={settled.at} zone={zone} />: {settled.words}
          </span>
        </p>
      )}
      {view.mayAct && view.claim.inspectionId !== null && view.claim.state !== 'withdrawn' ? (
        <SettleForm view={view} seen={seen} disagreement={disagreement} said={said} />
      ) : null}
    </section>
  );
}

function SettleForm(props: SettleCheckProps & { readonly said: (value: unknown) => string }): ReactNode {
  const { view, seen, disagreement, said } = props;
  const { item, answers, open } = disagreement;
  const [shown, setShown] = useState(open);
  const { settle, running, trouble } = useSettling(view.claim.id, view.claim.visitId);
  // Each answer once, and that nobody knows.
  const values = [
    ...new Map([...answers.map(({ value }) => value), null].map((value) => [said(value), value])).values(),
  ];
  return (
    <details className="noprint" open={shown} onToggle={(event) => setShown(event.currentTarget.open)}>
      <summary>{open ? 'Settle it' : 'Settle it otherwise'}</summary>
      <form
        className="stack"
        onInput={() => seen.typed(true)}
        onSubmit={(event) => {
          event.preventDefault();
          const form = event.currentTarget;
          const typed = new FormData(form);
          const words = typed.get('words');
          const value = values[Number(typed.get('value'))];
          settle(
            { item, value, words: typeof words === 'string' ? words.trim() : '', version: seen.version },
            {
              onSuccess: () => {
                form.reset();
                seen.typed(false);
                setShown(false);
              },
            },
          );
        }}
      >
        <TroubleNote trouble={trouble} />
        <fieldset>
          <legend>What counts</legend>
          {values.map((value, index) => (
            <label key={said(value)} className="pick">
              <input type="radio" name="value" value={index} required />
              {value === null ? 'Nobody knows: it could not be checked' : said(value)}
            </label>
          ))}
        </fieldset>
        <TextBox
          id={`settle-${item}`}
          name="words"
          label="Why"
          hint="It stands in the trail. At least ten characters. A proposed claim is assessed anew; a decision stays as it is."
          required
          trouble={trouble}
        />
        <button className="go" disabled={running}>
          {running ? 'Sending…' : 'Settle it'}
        </button>
      </form>
    </details>
  );
}
