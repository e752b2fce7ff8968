import type { VNode } from 'preact';
import type { VisitFacts } from '../../inspections/inspections.contract.js';
import { RECEIPTS } from '../../kernel/vocabulary.js';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { localField, showWindow } from '../domain/time-words.js';
import { faultAt, text, type Form, type Trouble } from '../form-fields.js';
import { CrewFrame } from './crew-frame.js';
import { Mark, Note, TextBox, tied, TroubleNote } from './parts.js';

export interface CrewVisitView {
  readonly visit: VisitFacts;
  readonly lang: Lang;
  readonly now: string;
  /** Inspections that were begun, oldest first. */
  readonly inspections: readonly { readonly id: string; readonly unitId: string; readonly finished: boolean }[];
  readonly claims: readonly { readonly id: string; readonly number: string; readonly serial: string }[];
  /** Id for the inspection of each unit that may be begun here. */
  readonly freshIds: Readonly<Record<string, string>>;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
  readonly kept?: boolean;
}

/** Today's visit: where, when, what, the cautions and the receipt. */
export function CrewVisit(view: CrewVisitView): VNode {
  const { visit, lang } = view;
  const w = (word: CrewWord) => crewWord(lang, word);
  return (
    <CrewFrame title={w('visit')} lang={lang} here={`/crew/visits/${visit.id}`} scripts={['crew-form.js']}>
      <div class="stack">
        <p class="where">
          <span>{w('visit')}</span>
          <span>{visit.retailer.name}</span>
        </p>
        <h1>{[...visit.address.lines, visit.address.place].join(', ')}</h1>
        <p>
          <strong>{showWindow(visit.windowFrom, visit.windowTo, visit.zone)}</strong>
          <span class="sub">
            {w('order')} {visit.order.reference} · {w('people')}: {visit.crewSize} · {visit.carrier.name}
          </span>
        </p>
        <TroubleNote trouble={view.trouble} />
        {view.kept === true ? (
          <Note tone="ok">
            <p>{w('receiptKept')}</p>
          </Note>
        ) : null}
        <section class="sheet tight">
          <h2>{w('before')}</h2>
          <ul>
            {(['lift', 'unplugged', 'pinch', 'closed'] as const).map((word) => (
              <li>{w(word)}</li>
            ))}
          </ul>
          <p class="small quiet">{w('advice')}</p>
        </section>
        <section class="stack">
          <h2>{w('units')}</h2>
          {visit.units.map((unit) => (
            <Unit unit={unit} view={view} />
          ))}
        </section>
        <ReceiptForm view={view} />
        {view.claims.length === 0 ? null : (
          <section class="sheet">
            <h2>{w('claims')}</h2>
            <ul class="plain">
              {view.claims.map(({ id, number, serial }) => (
                <li>
                  <a class="button" href={`/crew/claims/${id}`}>
                    {number} · {serial}
                  </a>
                </li>
              ))}
            </ul>
          </section>
        )}
      </div>
    </CrewFrame>
  );
}

function Unit({ unit, view }: { readonly unit: VisitFacts['units'][number]; readonly view: CrewVisitView }): VNode {
  const { lang, visit } = view;
  const w = (word: CrewWord) => crewWord(lang, word);
  const begun = view.inspections.filter(({ unitId }) => unitId === unit.id);
  const open = begun.find(({ finished }) => !finished);
  const last = begun.at(-1);
  const mark =
    open !== undefined
      ? ({ shape: 'half', tone: 'info', says: w('open') } as const)
      : last !== undefined
        ? ({ shape: 'tick', tone: 'ok', says: w('finished') } as const)
        : ({ shape: 'ring', tone: 'plainly', says: w('notStarted') } as const);
  return (
    <div class="sheet stack">
      <div>
        <h3>{unit.title}</h3>
        <p class="quiet">
          {w('serial')} <span class="nums">{unit.serial}</span>
        </p>
        <p>
          <Mark {...mark} />
        </p>
      </div>
      {open !== undefined ? (
        <a class="button go big-go" href={`/crew/inspections/${open.id}`}>
          {w('goOn')}
        </a>
      ) : (
        <form method="post" action={`/crew/visits/${visit.id}/inspections`} class="stack">
          <input type="hidden" name="id" value={view.freshIds[unit.id] ?? ''} />
          <input type="hidden" name="serial" value={unit.serial} />
          <details>
            <summary>{w('when')}</summary>
            <fieldset>
              <legend class="away">{w('when')}</legend>
              {(['unboxing', 'assembly', 'use'] as const).map((at) => (
                <label class="pick">
                  <input type="radio" name="foundAt" value={at} checked={at === 'unboxing'} />
                  {w(at)}
                </label>
              ))}
            </fieldset>
          </details>
          <button class={last === undefined ? 'go big-go' : 'big-go'}>
            {w(last === undefined ? 'start' : 'again')}
          </button>
        </form>
      )}
      {last === undefined || open !== undefined ? null : (
        <a href={`/crew/inspections/${last.id}/checks`}>{w('moreAnswers')}</a>
      )}
    </div>
  );
}

function ReceiptForm({ view }: { readonly view: CrewVisitView }): VNode {
  const { visit, lang, trouble, typed } = view;
  const w = (word: CrewWord) => crewWord(lang, word);
  const kind = text(typed, 'kind') || visit.receipt;
  const words = typed === undefined ? (visit.receiptWords ?? '') : text(typed, 'words');
  const at = text(typed, 'deliveredAt') || localField(visit.deliveredAt ?? view.now, visit.zone);
  const wrong = faultAt(trouble, 'kind');
  return (
    <section class="sheet" id="receipt">
      <h2>{w('receipt')}</h2>
      <details open={visit.receipt === null || trouble !== undefined}>
        <summary>{visit.receipt === null ? w('receiptHow') : `${w(visit.receipt)} · ${w('receiptChange')}`}</summary>
        <form method="post" action={`/crew/visits/${visit.id}/receipt`} class="stack" data-keep>
          <input type="hidden" name="version" value={String(visit.version)} />
          <fieldset>
            <legend class="away">{w('receiptHow')}</legend>
            {wrong === undefined ? null : <span class="wrong">{wrong}</span>}
            {RECEIPTS.map((receipt) => (
              <label class="pick">
                <input type="radio" name="kind" value={receipt} checked={receipt === kind} required />
                {w(receipt)}
              </label>
            ))}
          </fieldset>
          <TextBox id="words" name="words" label={w('receiptWords')} value={words} trouble={trouble} />
          <div class="field">
            <label for="deliveredAt">{w('receiptAt')}</label>
            <input
              type="datetime-local"
              {...tied({ id: 'deliveredAt', name: 'deliveredAt', trouble })}
              value={at}
              required
            />
          </div>
          <button class="go">{w('receiptSave')}</button>
        </form>
      </details>
    </section>
  );
}
