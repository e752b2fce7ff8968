import type { VNode } from 'preact';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { answerOf, gapsOf, say, type Walk } from '../domain/walk-view.js';
import { faultAt, text, type Form, type Trouble } from '../form-fields.js';
import { CrewFrame } from './crew-frame.js';
import { Choose, Note, TextBox, tied, TroubleNote } from './parts.js';

/** What a claim from the home may be about, and what its words begin with. Visible and concealed damage are one ground. */
export const CLAIM_KINDS = ['visible', 'concealed', 'doa', 'shortage', 'warranty'] as const;
export type ClaimKind = (typeof CLAIM_KINDS)[number];

export interface CrewSendView {
  readonly id: string;
  readonly visitId: string;
  readonly walk: Walk;
  readonly lang: Lang;
  readonly finished: boolean;
  readonly photoCount: number;
  /** Local time, for the field. */
  readonly nowLocal: string;
  /** Id of the claim: made here, so that sending twice files one. */
  readonly claimId: string;
  readonly oneMore?: { readonly item: string; readonly says: string; readonly seconds: number } | undefined;
  /** Damage was seen, so carton and packing are to be kept. */
  readonly hold: boolean;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

/** Check and send: counts, gaps, the one look that would help most, and the claim. */
export function CrewSend(view: CrewSendView): VNode {
  const { id, lang } = view;
  const w = (word: CrewWord, ...values: readonly (string | number)[]) => crewWord(lang, word, ...values);
  return (
    <CrewFrame title={w('toSend')} lang={lang} here={`/crew/inspections/${id}/send`} scripts={['crew-form.js']}>
      <div class="stack">
        <h1>{w('toSend')}</h1>
        <TroubleNote trouble={view.trouble} />
        <Counts view={view} />
        {view.oneMore === undefined || view.finished ? null : (
          <Note tone="info" title={`${w('oneMore')}:`}>
            <p>
              {view.oneMore.says} ({w('about', view.oneMore.seconds)})
            </p>
            <p>
              <a class="button" href={`/crew/inspections/${id}?check=${view.oneMore.item}`}>
                {w('lookNow')}
              </a>
            </p>
          </Note>
        )}
        <Missing view={view} />
        {view.hold ? (
          <Note tone="warn" title={w('hold')}>
            <p>{w('holdWhy')}</p>
          </Note>
        ) : null}
        <ClaimForm view={view} />
        {view.finished ? null : (
          <section class="sheet stack">
            <h2>{w('allGood')}</h2>
            <form method="post" action={`/crew/inspections/${id}/completion`} class="stack" data-keep>
              <GapReason view={view} id="reason-good" />
              <button>{w('closeGood')}</button>
            </form>
          </section>
        )}
        <nav class="ways" aria-label={w('visit')}>
          <a href={`/crew/inspections/${id}/checks`}>{w('allChecks')}</a>
          <a href={`/crew/visits/${view.visitId}`}>{w('toVisit')}</a>
        </nav>
      </div>
    </CrewFrame>
  );
}

function Counts({ view: { walk, lang, photoCount } }: { readonly view: CrewSendView }): VNode {
  const answers = walk.asked.map(({ id }) => answerOf(walk, id));
  const rows: readonly (readonly [CrewWord, number])[] = [
    ['answered', answers.filter((answer) => answer !== undefined && answer.value !== null).length],
    ['notChecked', answers.filter((answer) => answer?.value === null).length],
    ['photosSent', photoCount],
  ];
  return (
    <dl class="facts sheet">
      {rows.map(([word, n]) => (
        <>
          <dt>{crewWord(lang, word)}</dt>
          <dd>{n}</dd>
        </>
      ))}
    </dl>
  );
}

function Missing({ view: { id, walk, lang } }: { readonly view: CrewSendView }): VNode | null {
  const { items, photos } = gapsOf(walk);
  if (items.length + photos.length === 0) return null;
  return (
    <details class="sheet" open={items.length + photos.length <= 4}>
      <summary>
        {crewWord(lang, 'missing')}: {crewWord(lang, 'gaps', items.length, photos.length)}
      </summary>
      <ul class="plain checks">
        {items.map((item) => (
          <li>
            <a href={`/crew/inspections/${id}?check=${item.id}`}>
              <span>{say(item.ask, lang)}</span>
              <span class="said">{crewWord(lang, 'noAnswer')}</span>
            </a>
          </li>
        ))}
        {photos.map(({ item, demand }) => (
          <li>
            <a href={`/crew/inspections/${id}?check=${item.id}`}>
              <span>{say(item.ask, lang)}</span>
              <span class="said">
                {crewWord(lang, 'take')}: {say(demand.says, lang)}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}

function GapReason({ view, id }: { readonly view: CrewSendView; readonly id: string }): VNode | null {
  const { items, photos } = gapsOf(view.walk);
  if (view.finished || items.length + photos.length === 0) return null;
  return (
    <TextBox
      id={id}
      name="reason"
      label={crewWord(view.lang, 'missingWhy')}
      value={text(view.typed, 'reason')}
      rows={2}
      trouble={view.trouble}
    />
  );
}

function ClaimForm({ view }: { readonly view: CrewSendView }): VNode {
  const { id, lang, typed, trouble } = view;
  const w = (word: CrewWord) => crewWord(lang, word);
  const wrong = faultAt(trouble, 'kind');
  return (
    <section class="sheet">
      <h2>{w('what')}</h2>
      <form method="post" action={`/crew/inspections/${id}/claim`} class="stack" data-keep>
        <input type="hidden" name="claim" value={view.claimId} />
        <fieldset>
          <legend class="away">{w('what')}</legend>
          {wrong === undefined ? null : <span class="wrong">{wrong}</span>}
          {CLAIM_KINDS.map((kind) => (
            <label class="pick">
              <input type="radio" name="kind" value={kind} checked={text(typed, 'kind') === kind} required />
              {w(kind)}
            </label>
          ))}
        </fieldset>
        <div class="field">
          <label for="noticedAt">{w('noticed')}</label>
          <input
            type="datetime-local"
            {...tied({ id: 'noticedAt', name: 'noticedAt', trouble })}
            value={text(typed, 'noticedAt') || view.nowLocal}
            required
          />
        </div>
        <Choose
          id="wish"
          name="wish"
          label={w('wish')}
          none={w('wishNone')}
          value={text(typed, 'wish')}
          options={[
            ['refund', w('refund')],
            ['allowance', w('allowance')],
            ['part', w('part')],
            ['unit', w('unit')],
            ['visit', w('repair')],
          ]}
        />
        <TextBox id="words" name="words" label={w('words')} value={text(typed, 'words')} max={1900} trouble={trouble} />
        <GapReason view={view} id="reason" />
        <button class="go big-go">{w('sendClaim')}</button>
      </form>
    </section>
  );
}

/** The claim is in: its number in groups that can be read aloud, and what happens next. */
export function CrewSent(props: {
  readonly claimId: string;
  readonly groups: readonly string[];
  readonly standing: string;
  readonly lang: Lang;
  readonly visitId: string;
  readonly inspectionId: string | null;
}): VNode {
  const { lang } = props;
  const w = (word: CrewWord) => crewWord(lang, word);
  return (
    <CrewFrame title={w('sent')} lang={lang} here={`/crew/claims/${props.claimId}`} scripts={['crew-form.js']}>
      <div class="stack">
        <h1>{w('sent')}</h1>
        <p>{w('read')}</p>
        <p class="said-number" aria-label={props.groups.join(' ')}>
          {props.groups.map((group) => (
            <span>{group}</span>
          ))}
        </p>
        {lang === 'en' ? <p class="quiet">{props.standing}</p> : null}
        <section class="sheet">
          <h2>{w('next')}</h2>
          <ol class="tight">
            <li>{w('next1')}</li>
            <li>{w('next2')}</li>
            <li>{w('next3')}</li>
          </ol>
        </section>
        <Note tone="warn" title={w('hold')}>
          <p>{w('holdWhy')}</p>
        </Note>
        <nav class="ways" aria-label={w('visit')}>
          {props.inspectionId === null ? null : (
            <a href={`/crew/inspections/${props.inspectionId}/checks`}>{w('moreAnswers')}</a>
          )}
          <a href={`/crew/visits/${props.visitId}`}>{w('toVisit')}</a>
        </nav>
      </div>
    </CrewFrame>
  );
}
