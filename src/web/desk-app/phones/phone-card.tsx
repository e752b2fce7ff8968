import { Link } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import { clockWords, heldWords } from '../../domain/nudge-words.js';
import { dueIn } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useVisitPhones, type PhoneLine } from '../api/phones.js';
import { Facts, Mark, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useOnlooker } from '../shell.js';
import { LosePhone } from './lose-phone.js';
import { NudgeCrew } from './nudge-crew.js';
import { PhoneHolds } from './phone-holds.js';

/** One phone: whose it is, what it owes since when, and what can be done about it. */
export function PhoneCard({ phone }: { readonly phone: PhoneLine }): ReactNode {
  const { data: onlooker } = useOnlooker();
  const [open, setOpen] = useState(false);
  const clock = clockWords(phone.clockAheadSeconds);
  const may = (act: 'visit-link.manage' | 'claim.assess'): boolean => onlooker?.acts.includes(act) === true;
  return (
    <section className="sheet stack" aria-label={`Phone of ${phone.crew}, order ${phone.order}`}>
      <div className="row spread">
        <h2>
          {phone.crew}, order {phone.order}
        </h2>
        {phone.lost === undefined ? (
          <Mark shape="triangle" tone="warn" says={`Owes ${heldWords(phone)}`} />
        ) : (
          <Mark shape="cross" tone="plainly" says={`Lost with ${heldWords(phone)}`} />
        )}
      </div>
      <Facts
        of={[
          ['Owes since', <Since key="since" at={phone.since} />],
          ['Heard last', <Time key="heard" at={phone.lastHeardAt} />],
          ['Its clock', clock === undefined ? undefined : `${sentenceCase(clock)}; its times were moved by as much`],
          [
            'Visit',
            <Link key="visit" to="/visits/$id" params={{ id: phone.visit }}>
              Order {phone.order}
            </Link>,
          ],
          ['Claims', phone.claims.length === 0 ? 'None filed' : <ClaimLinks phone={phone} />],
          [
            'Called lost',
            phone.lost === undefined ? undefined : (
              <span key="lost">
                <Time at={phone.lost.at} /> by {phone.lost.by}: {phone.lost.because}
              </span>
            ),
          ],
        ]}
      />
      <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
        <summary>What exactly is missing</summary>
        {open ? <Holds phone={phone} /> : null}
      </details>
      {phone.lost === undefined && may('visit-link.manage') ? <NudgeCrew phone={phone} /> : null}
      {phone.lost === undefined && may('claim.assess') ? <LosePhone phone={phone} /> : null}
    </section>
  );
}

function Since({ at }: { readonly at: string }): ReactNode {
  const { says } = dueIn(at, Temporal.Now.instant().toString());
  return (
    <>
      <Time at={at} />
      <span className="sub">{says.replace(/^late by /, '')} ago</span>
    </>
  );
}

function ClaimLinks({ phone }: { readonly phone: PhoneLine }): ReactNode {
  return (
    <span className="row">
      {phone.claims.map(({ id, number, state }) => (
        <Link key={id} className="number" to="/claims/$id" params={{ id }} preload={false}>
          {number === undefined ? 'Draft' : showClaimNumber(number)}
          {state === 'withdrawn' ? ' (withdrawn)' : ''}
        </Link>
      ))}
    </span>
  );
}

function Holds({ phone }: { readonly phone: PhoneLine }): ReactNode {
  const found = useVisitPhones(phone.visit);
  const file = found.data?.find((each) => each.phone === phone.phone);
  if (found.isPending) return <Loading what="what is missing" />;
  if (found.isError && found.data === undefined)
    return <Failing trouble={found.error} again={() => void found.refetch()} />;
  return file === undefined ? <p className="quiet">It owes nothing any more.</p> : <PhoneHolds file={file} />;
}
