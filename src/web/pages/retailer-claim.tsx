import type { VNode } from 'preact';
import type { StandsAt, TimelineEntry } from '../../claims/claims.contract.js';
import { showClaimNumber } from '../../kernel/claim-number.js';
import { showMoney } from '../domain/money-words.js';
import { stateMark } from '../domain/state-marks.js';
import { showDay } from '../domain/time-words.js';
import { GROUND_WORDS, REMEDY_WORDS, sentenceCase } from '../domain/trade-words.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import type { Claim } from '../case-data.js';
import type { ClaimLine } from '../case-data.js';
import { Office, type Onlooker } from './layout.js';
import { FilesForm, FilesReceipt, type KeptFile } from './retailer-claim-files.js';
import type { Letter } from './retailer-letter.js';
import { Caution, Mark, Note, TextBox, Time, TroubleNote } from './parts.js';
import type { Remedy } from '../../kernel/vocabulary.js';

export interface RetailerClaimView {
  readonly onlooker: Onlooker;
  readonly claim: Claim;
  readonly line: ClaimLine;
  readonly zone: string;
  readonly now: string;
  readonly standing: StandsAt;
  readonly timeline: readonly TimelineEntry[];
  /** The decision that stands, as the retailer may see it. */
  readonly decision:
    | {
        readonly outcome: string;
        readonly remedies: readonly Remedy[];
        readonly totalMinor: number;
        readonly decidedAt: string;
      }
    | undefined;
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
  const { claim, line, standing } = view;
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
      <section class="sheet stack" id="standing">
        <p class="stands">{standing.says}</p>
        <p>
          {standing.next} {standing.by === null ? '' : byWords(standing.by, view)}
        </p>
      </section>
      <div class="case below">
        <div class="says">
          {open.length > 0 && claim.state === 'needs information' ? <AnswerForm view={view} /> : null}
          <Decided view={view} />
          <FilesForm view={view} />
          {['decided', 'settled', 'closed'].includes(claim.state) ? <AppealForm view={view} /> : null}
        </div>
        <div>
          <section class="sheet">
            <h2>So far</h2>
            <ol class="plain trail">
              {view.timeline.toReversed().map(({ at, says }) => (
                <li>
                  <Time at={at} zone={view.zone} />
                  {says}
                </li>
              ))}
            </ol>
          </section>
          <Letters view={view} />
          <Answered view={view} />
          <PhotosSeen view={view} />
        </div>
      </div>
    </Office>
  );
}

/** By when the next step is due; a day that has passed is owned up to. */
function byWords(by: string, { zone, now }: RetailerClaimView): string {
  return by < now ? `This was due by ${showDay(by, zone)}; we are late.` : `By ${showDay(by, zone)}.`;
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
  return (
    <section class="sheet stack" id="decision">
      <h2>Decision</h2>
      <p class="big">{sentenceCase(decision.outcome)}</p>
      <p class="amount-big">{showMoney(decision.totalMinor, claim.currency)}</p>
      <p>
        {decision.remedies.map((remedy) => REMEDY_WORDS[remedy]).join(', ')} ·{' '}
        <Time at={decision.decidedAt} zone={zone} />
      </p>
      <Caution />
    </section>
  );
}

function Letters({ view: { letters, claim, zone } }: { readonly view: RetailerClaimView }): VNode | null {
  if (letters.length === 0) return null;
  return (
    <section class="sheet stack" id="letters">
      <h2>Letters</h2>
      <ul class="plain stack">
        {letters.toReversed().map(({ n, outcome, at, replaced }) => (
          <li>
            <a href={`/claims/${claim.id}/letters/${n}`}>
              Decision of {showDay(at, zone)}: {outcome}
            </a>
            {replaced ? ' (replaced by a later one)' : ''}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Answered({ view }: { readonly view: RetailerClaimView }): VNode | null {
  const answered = view.questions.filter(({ answer }) => answer !== null);
  if (answered.length === 0) return null;
  return (
    <section class="sheet stack">
      <h2>Asked and answered</h2>
      {answered.map(({ asked, answer }) => (
        <div>
          <p>
            <strong>{asked}</strong>
          </p>
          <p>{answer}</p>
        </div>
      ))}
    </section>
  );
}

function PhotosSeen({ view: { photos } }: { readonly view: RetailerClaimView }): VNode | null {
  if (photos.length === 0) return null;
  return (
    <section class="sheet">
      <h2>Photos</h2>
      <div class="photos">
        {photos.map(({ id, about }) => (
          <figure>
            <div class="frame">
              <img src={`/v1/photos/${id}/renditions/1024`} alt={about} loading="lazy" />
            </div>
            <figcaption>{about}</figcaption>
          </figure>
        ))}
      </div>
    </section>
  );
}
