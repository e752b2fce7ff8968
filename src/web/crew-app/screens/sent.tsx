import { useApp } from '../app-state.js';
import { remove } from '../actions.js';
import { sendOwed } from '../engine.js';
import { Frame, Heading, Mark, Note, Way } from '../parts/frame.js';
import { Owed } from '../parts/owed.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';

/** After sending: the number in groups that can be read aloud, or what is still on the phone. */
export function Sent({ of }: { readonly of: Inspection }) {
  const { lang, owed } = useApp();
  const w = sayer(lang);
  const { claim, visit } = of;
  const mine = owed.filter((row) => row.visit === visit.id);
  const count = (...kinds: readonly string[]): number => mine.filter(({ kind }) => kinds.includes(kind)).length;
  const number = claim?.number;
  const rows = [
    ['owedFacts', count('fact')],
    ['owedClaims', count('claim')],
    ['owedPhotos', count('photo')],
  ] as const;
  const waiting = rows.filter(([, n]) => n > 0);
  return (
    <Frame title={number === undefined ? w('stillHere') : w('sent')}>
      <div class="stack">
        <Heading about={number ?? ''}>{number === undefined ? w('stillHere') : w('sent')}</Heading>
        <Owed />
        {number === undefined ? (
          <p>{w('stillHereWhy')}</p>
        ) : (
          <>
            <p>{w('read')}</p>
            <p class="said-number">
              {groups(number).map((group, index) => (
                <span key={index}>{group} </span>
              ))}
            </p>
            {claim?.addedTo === true ? (
              <Note tone="info">
                <p>{w('addedTo')}</p>
              </Note>
            ) : null}
          </>
        )}
        {waiting.length === 0 ? (
          <p>
            <Mark shape="tick" tone="ok" says={w('allSent')} />
          </p>
        ) : (
          <section class="sheet stack">
            <h2>{w('waitsFor')}</h2>
            <dl class="facts">
              {waiting.map(([word, n]) => (
                <>
                  <dt key={word}>{w(word)}</dt>
                  <dd>{n}</dd>
                </>
              ))}
            </dl>
            <button onClick={() => void sendOwed()}>{w('sendNow')}</button>
            <p class="quiet">{w('keepOpen')}</p>
          </section>
        )}
        {number === undefined ? null : (
          <section class="sheet stack">
            <h2>{w('next')}</h2>
            <ol>
              <li>{w('next1')}</li>
              <li>{w('next2')}</li>
              <li>{w('next3')}</li>
            </ol>
          </section>
        )}
        <Note tone="warn" title={w('hold')}>
          <p>{w('holdWhy')}</p>
        </Note>
        {number !== undefined && mine.length === 0 ? (
          <section class="sheet stack">
            <p>{w('removeHow')}</p>
            <button onClick={() => void remove(visit.id)}>{w('removeVisit')}</button>
          </section>
        ) : null}
        <nav class="ways" aria-label={w('visit')}>
          <Way to={`/crew/inspections/${of.id}/checks`}>{w('moreAnswers')}</Way>
          <Way to={`/crew/visits/${visit.id}`}>{w('toVisit')}</Way>
        </nav>
      </div>
    </Frame>
  );
}

/** Nine digits in threes. */
function groups(number: string): readonly string[] {
  return number.replaceAll(/\D/g, '').match(/\d{1,3}/g) ?? [number];
}
