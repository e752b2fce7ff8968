import { getRouteApi, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { usePhones } from '../api/phones.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { PhoneCard } from './phone-card.js';

const route = getRouteApi('/phones');
const MOST = 200;

/** Crews' phones that still hold something for the office, the one that has been silent longest first. */
export function PhonesPage(): ReactNode {
  const { state: wanted } = route.useSearch();
  const state = wanted === 'lost' ? 'lost' : 'owing';
  const navigate = useNavigate();
  const found = usePhones(state);
  useTitle('Phones that owe');
  const phones = found.data ?? [];
  return (
    <>
      <div className="head">
        <h1>Phones that owe</h1>
      </div>
      <div className="stack">
        <p className="lead">
          A crew’s phone sends by itself when it has a signal and the visit is open on it. Some need a word from you.
        </p>
        <div className="row filters">
          <Pick
            id="state"
            label="Show"
            value={state}
            onPick={(value) =>
              void navigate({ to: '/phones', search: value === 'lost' ? { state: 'lost' } : {}, replace: true })
            }
            options={[
              ['owing', 'May still send'],
              ['lost', 'Lost'],
            ]}
          />
        </div>
        {found.isPending ? <Loading what="the phones" /> : null}
        {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
        {found.data && phones.length === 0 ? (
          <Empty>
            {state === 'lost'
              ? 'No phone was lost with something on it.'
              : 'Every phone has sent everything. There is nothing to do here.'}
          </Empty>
        ) : null}
        <ol className="plain stack" aria-label={state === 'lost' ? 'Lost phones' : 'Phones, silent longest first'}>
          {phones.map((phone) => (
            <li key={`${phone.visit} ${phone.phone}`}>
              <PhoneCard phone={phone} />
            </li>
          ))}
        </ol>
        {phones.length < MOST ? null : <p className="quiet">These are the {MOST} that have been silent longest.</p>}
      </div>
    </>
  );
}
