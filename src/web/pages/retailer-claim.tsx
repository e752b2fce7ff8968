import type { VNode } from 'preact';
import type { StandsAt, TimelineEntry } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import type { ClaimState } from '../../kernel/vocabulary.js';
import type { Claim, ClaimLine } from '../case-data.js';
import type { Letter } from '../domain/letter.js';
import { LETTER_LANGS } from '../domain/letter-words.js';
import { showMoney } from '../domain/money-words.js';
import { stateMark } from '../domain/state-marks.js';
import { showDay } from '../domain/time-words.js';
import { GROUND_WORDS, remediesInWords, sentenceCase } from '../domain/trade-words.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Mark, Note, TextBox, Time, TroubleNote } from './parts.js';
import { FilesForm, FilesReceipt, type KeptFile } from './retailer-claim-files.js';
import { Answered, Letters, PhotosSeen, SoFar } from './retailer-claim-record.js';

export interface RetailerClaimView {
  readonly onlooker: Onlooker;
  readonly claim: Claim;
  readonly line: ClaimLine;
  readonly zone: string;
  readonly now: string;
  readonly standing: StandsAt;
  readonly timeline: readonly TimelineEntry[];
  /** The decision that stands, as the retailer may see it. */
  readonly decision: Letter | undefined;
  readonly questions: readonly {
    readonly asked: string;
    readonly askedAt: string;
    readonly answer: string | null;
    readonly ofParty: string;
  }[];
  readonly photos: readonly { readonly id: string; readonly about: string }[];
  /** Decisions that are or were in force, the first one first. */
  readonly letters: readonly Letter[];
  /** Questions of the inspection that a file can be put to, with their words. */
  readonly fileItems: readonly (readonly [item: string, says: string])[];
  readonly tried?:
    { readonly act: 'answer' | 'appeal' | 'files'; readonly form: Form; readonly trouble: Trouble } | undefined;
  /** Files that were added just now. */
  readonly kept?: readonly KeptFile[] | undefined;
  /** What was just done. */
  readonly done?: 'answer' | 'appeal' | undefined;
}

const DONE = {
  answer: 'Your answer is in. The claim is assessed again with it, then a person decides.',
  appeal: 'The claim is open again. A person looks at it with what you wrote.',
} as const;

/** One claim as the retailer reads it: where it stands, what was decided, what is needed from them. */
export function RetailerClaim(view: RetailerClaimView): VNode {
  const { claim, line } = view;
  const number = claim.number === null ? 'Draft' : showClaimNumber(claim.number);
  const open = view.questions.filter(({ answer }) => answer === null);
  return (
    <Office title={`${number} · ${line.model}`} onlooker={view.onlooker} at="/claims">
      <div class="head">
        <div>
          <p class="quiet">
            <a href="/claims">Your claims</a>
          </p>
          <h1>
            <span class="figures">{number}</span>
          </h1>
          <p>
            {line.model} · {GROUND_WORDS[claim.ground]} · order {line.orderReference}
          </p>
        </div>
        <Mark {...stateMark(claim.state, view.decision?.outcome ?? null)} />
      </div>
      {view.done === undefined ? null : (
        <Note tone="ok" title="Thank you.">
          <p>{DONE[view.done]}</p>
        </Note>
      )}
      <FilesReceipt view={view} />
      <Stands view={view} />
      <div class="case below">
        <div class="says">
          {open.length > 0 && claim.state === 'needs information' ? <AnswerForm view={view} /> : null}
          <Decided view={view} />
          <FilesForm view={view} />
          {['decided', 'settled', 'closed'].includes(claim.state) ? <AppealForm view={view} /> : null}
        </div>
        <div>
          <SoFar view={view} />
          <Letters view={view} />
          <Answered view={view} />
          <PhotosSeen view={view} />
        </div>
      </div>
    </Office>
  );
}

const DECIDED: Readonly<Record<Letter['outcome'], string>> = {
  approved: 'Approved',
  'approved in part': 'Approved in part',
  declined: 'Declined',
};

/** States in which the next step is the desk's. */
const OUR_TURN: ReadonlySet<ClaimState> = new Set(['filed', 'assessing', 'proposed', 'decided', 'settling']);

/** The one sentence: what was decided, and what comes next by when. */
function Stands({ view }: { readonly view: RetailerClaimView }): VNode {
  const { claim, decision, standing } = view;
  const goesOn = ['filed', 'assessing', 'needs information', 'proposed'].includes(claim.state);
  return (
    <section class="sheet stack" id="standing">
      <p class="stands">
        {decision === undefined || goesOn ? standing.says : decidedWords(decision, claim.currency)} {standing.next}
        {standing.by === null ? '' : ` ${byWords(standing.by, view)}`}
      </p>
      {standing.by === null && OUR_TURN.has(claim.state) ? (
        <p class="small quiet">No day is promised for this step. When it is done, this page says so.</p>
      ) : null}
      {decision !== undefined && goesOn ? (
        <p>
          {decidedWords(decision, claim.currency)} That was decided on {showDay(decision.at, view.zone)} and counts
          until another decision is made.
        </p>
      ) : null}
      {decision !== undefined && !goesOn && claim.state !== 'decided' ? <p>{standing.says}</p> : null}
    </section>
  );
}

/** "Approved: Refund, 270.00 USD." */
function decidedWords({ outcome, remedies, totalMinor }: Letter, currency: string): string {
  if (outcome === 'declined') return `${DECIDED[outcome]}: nothing is given or paid.`;
  const given = remediesInWords(remedies).toLowerCase();
  return `${DECIDED[outcome]}: ${given}${totalMinor === 0 ? '' : `, ${showMoney(totalMinor, currency)}`}.`;
}

/** By when the next step is due; a day that has passed is owned up to. */
function byWords(by: string, { zone, now }: RetailerClaimView): string {
  return by < now ? `This was due by ${showDay(by, zone)}; we are late.` : `By ${showDay(by, zone)}.`;
}

/** These pages keep nothing in the browser; it is the browser that keeps what was typed. */
function LineGone(): VNode {
  return (
    <p class="small quiet">
      If the line is gone when you send it, your browser says so. Go back: what you typed is still there. Nothing is
      sent twice.
    </p>
  );
}

function AnswerForm({ view }: { readonly view: RetailerClaimView }): VNode {
  const tried = view.tried?.act === 'answer' ? view.tried : undefined;
  const open = view.questions.filter(({ answer }) => answer === null);
  return (
    <section class="sheet stack" id="answer">
      <h2>We need to know</h2>
      {open.map(({ asked, askedAt, ofParty }) => (
        <div>
          <p>
            <strong>{asked}</strong>
          </p>
          <p class="small quiet">
            Asked of the {ofParty}, <Time at={askedAt} zone={view.zone} />
          </p>
        </div>
      ))}
      <form method="post" action={`/claims/${view.claim.id}/answer`} class="stack">
        {tried === undefined ? null : <TroubleNote trouble={tried.trouble} />}
        <input type="hidden" name="version" value={String(view.claim.version)} />
        <TextBox
          id="answer-words"
          name="words"
          label="Your answer"
          value={text(tried?.form, 'words')}
          required
          rows={5}
          trouble={tried?.trouble}
        />
        <button class="go">Send the answer</button>
        <LineGone />
      </form>
    </section>
  );
}

function AppealForm({ view }: { readonly view: RetailerClaimView }): VNode {
  const tried = view.tried?.act === 'appeal' ? view.tried : undefined;
  return (
    <section class="sheet" id="appeal">
      <h2>Ask for another look</h2>
      <details open={tried !== undefined}>
        <summary>Something was missed, or is new</summary>
        <form method="post" action={`/claims/${view.claim.id}/appeal`} class="stack">
          {tried === undefined ? null : <TroubleNote trouble={tried.trouble} />}
          <input type="hidden" name="version" value={String(view.claim.version)} />
          <TextBox
            id="appeal-words"
            name="words"
            label="What should be looked at again, and why?"
            hint="The decision stays readable until another one replaces it."
            value={text(tried?.form, 'words')}
            required
            rows={5}
            trouble={tried?.trouble}
          />
          <button>Ask for another look</button>
          <LineGone />
        </form>
      </details>
    </section>
  );
}

function Decided({ view: { decision, claim, zone } }: { readonly view: RetailerClaimView }): VNode {
  if (decision === undefined) {
    return (
      <section class="sheet">
        <h2>Decision</h2>
        <p class="quiet">Nothing is decided yet.</p>
      </section>
    );
  }
  const { toRetailer = {} } = decision;
  return (
    <section class="sheet stack" id="decision">
      <h2>Decision</h2>
      <p class="big">{sentenceCase(decision.outcome)}</p>
      {decision.totalMinor === 0 ? null : <p class="amount-big">{showMoney(decision.totalMinor, claim.currency)}</p>}
      <p>
        {decision.outcome === 'declined' ? 'Nothing is given or paid' : remediesInWords(decision.remedies)} ·{' '}
        <Time at={decision.at} zone={zone} />
      </p>
      {toRetailer.en === undefined && toRetailer.es === undefined ? null : <h3>What the desk adds</h3>}
      {LETTER_LANGS.map((lang) =>
        toRetailer[lang] === undefined ? null : (
          <p class="lines" lang={lang}>
            {toRetailer[lang]}
          </p>
        ),
      )}
      <p>
        <a href={`/claims/${claim.id}/letters/${decision.n}`}>The letter about it</a>
      </p>
      <Caution />
    </section>
  );
}
