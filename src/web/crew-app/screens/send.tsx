import { useEffect, useMemo, useState } from 'preact/hooks';
import { answerOf, gapsOf, say } from '../../domain/walk-view.js';
import { endWell, sendClaim } from '../actions.js';
import { go, useApp } from '../app-state.js';
import { ClaimForm } from '../parts/claim-form.js';
import { Box } from '../parts/fields.js';
import { Frame, Heading, Note, Way } from '../parts/frame.js';
import { sayer } from '../words/sayer.js';
import { ask } from '../send/ask.js';
import type { Inspection } from '../walk/inspection.js';
import { lookAhead, type LookAhead, type NextLook } from '../walk/next-look.js';

/** Before sending: what is missing and why, the one look that is still worth it, the packing, and the claim itself. */
export function Send({ of }: { readonly of: Inspection }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const ahead = useLookAhead(of);
  const { walk, id } = of;
  const gaps = gapsOf(walk);
  const missing = gaps.items.length + gaps.photos.length;
  useEffect(() => {
    if (of.claim !== undefined) go(`/crew/inspections/${id}/sent`, true);
  }, [of.claim?.id]);
  const answers = walk.asked.map((item) => answerOf(walk, item.id));
  const look = of.finished ? undefined : ahead?.next[0];
  const gone = answerOf(walk, 'packaging-kept')?.value === 'no';
  return (
    <Frame title={w('toSend')}>
      <div class="stack">
        <Heading about="send">{w('toSend')}</Heading>
        <dl class="facts sheet">
          <dt>{w('answered')}</dt>
          <dd>{answers.filter((given) => given !== undefined && given.value !== null).length}</dd>
          <dt>{w('notChecked')}</dt>
          <dd>{answers.filter((given) => given?.value === null).length}</dd>
          <dt>{w('photos')}</dt>
          <dd>{of.photos.length + of.elsewhere}</dd>
        </dl>
        {look === undefined ? null : (
          <Note tone="info" title={w('worthALook')}>
            <p>
              {say(look.says, lang)} ({w('about', look.seconds)})
            </p>
            <Way to={`/crew/inspections/${id}?check=${look.item}`} class="button">
              {w('lookNow')}
            </Way>
          </Note>
        )}
        <Missing of={of} />
        {ahead?.carriage === true ? (
          <Note tone="warn" title={w('hold')}>
            <p>{w('holdWhy')}</p>
            {gone ? null : <Way to={`/crew/inspections/${id}?check=packaging-kept`}>{w('holdSay')}</Way>}
          </Note>
        ) : null}
        <ClaimForm of={of} missing={missing > 0 && !of.finished} onSend={(said) => sendClaim(of, said)} />
        {of.finished ? null : <AllGood of={of} missing={missing > 0} />}
        <nav class="ways" aria-label={w('visit')}>
          <Way to={`/crew/inspections/${id}/checks`}>{w('allChecks')}</Way>
          <Way to={`/crew/visits/${of.visit.id}`}>{w('toVisit')}</Way>
        </nav>
      </div>
    </Frame>
  );
}

/**
 * What the answers come to: at once from what the phone has, and by the service where there is a line and it has every answer.
 */
function useLookAhead(of: Inspection): LookAhead | undefined {
  const { owed } = useApp();
  const own = useMemo(() => lookAhead(of), [of.walk.answers]);
  const [told, setTold] = useState<readonly NextLook[] | undefined>();
  const through = !owed.some(({ kind, visit }) => kind === 'fact' && visit === of.visit.id);
  useEffect(() => {
    if (!through) return;
    ask(of.visit, `/v1/inspections/${of.id}/findings`, { method: 'GET' }).then(
      (answer) => setTold(looksFrom(answer, of)),
      () => undefined,
    );
  }, [through, of.id]);
  return own === undefined ? undefined : { ...own, next: told ?? own.next };
}

function looksFrom(answer: unknown, { walk }: Inspection): readonly NextLook[] | undefined {
  const { nextChecks } = answer as {
    readonly nextChecks?: readonly (Pick<NextLook, 'item' | 'says'> & { readonly effortSeconds?: number })[];
  };
  return nextChecks?.flatMap(({ item, says, effortSeconds = 0 }) => {
    const given = answerOf(walk, item);
    const open = walk.asked.some(({ id }) => id === item) && (given === undefined || given.value === null);
    return open ? [{ item, says, seconds: Math.round(effortSeconds) }] : [];
  });
}

function Missing({ of: { id, walk } }: { readonly of: Inspection }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const { items, photos } = gapsOf(walk);
  const count = items.length + photos.length;
  if (count === 0) return null;
  return (
    <details class="sheet" open={count <= MOST_OPEN}>
      <summary>
        {w('missing')}: {w('gaps', items.length, photos.length)}
      </summary>
      <ul class="plain checks">
        {items.map((item) => (
          <li key={item.id}>
            <Way to={`/crew/inspections/${id}?check=${item.id}`}>
              <span>{say(item.ask, lang)}</span>
              <span class="said">{w('noAnswer')}</span>
            </Way>
          </li>
        ))}
        {photos.map(({ item, demand }) => (
          <li key={`${item.id} ${demand.id}`}>
            <Way to={`/crew/inspections/${id}?check=${item.id}`}>
              <span>{say(item.ask, lang)}</span>
              <span class="said">
                {w('take')}: {say(demand.says, lang)}
              </span>
            </Way>
          </li>
        ))}
      </ul>
    </details>
  );
}

const MOST_OPEN = 4;

function AllGood({ of, missing }: { readonly of: Inspection; readonly missing: boolean }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const [reason, setReason] = useState('');
  const [wrong, setWrong] = useState<'needReason' | 'notKept' | undefined>();
  const end = (event: Event): void => {
    event.preventDefault();
    const words = reason.trim();
    if (missing && words === '') setWrong('needReason');
    else endWell(of, words === '' ? undefined : words).catch(() => setWrong('notKept'));
  };
  return (
    <section class="sheet stack">
      <h2>{w('allGood')}</h2>
      <form class="stack" onSubmit={end} noValidate>
        {missing ? (
          <Box
            id="reason-good"
            label={w('missingWhy')}
            value={reason}
            rows={2}
            max={2000}
            wrong={wrong === undefined ? undefined : w(wrong)}
            onType={setReason}
          />
        ) : null}
        <button>{w('closeGood')}</button>
      </form>
    </section>
  );
}
