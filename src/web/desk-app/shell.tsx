import { useQuery } from '@tanstack/react-query';
import { Link, Outlet, useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { DESK } from '../domain/desk-address.js';
import { read } from './api/http.js';
import { KeysHelp } from './keys-help.js';
import { useKeys } from './keys.js';
import { useLive, type Line } from './live.js';

/** The person at the desk and the doors that open for them. */
export interface Onlooker {
  readonly name: string;
  readonly doors: readonly { readonly address: string; readonly says: string; readonly count?: number }[];
}

export function useOnlooker() {
  return useQuery({
    queryKey: ['onlooker'],
    queryFn: async ({ signal }) => (await read<Onlooker>('/desk-data/me', signal)).body,
  });
}

const LINES: Readonly<Record<Line, string>> = {
  live: 'Live',
  connecting: 'Connecting',
  cut: 'No line: what you see may be old',
};

/** Frame of every page: the doors at the side, the page beside them. */
export function Shell(): ReactNode {
  const { data: onlooker } = useOnlooker();
  const line = useLive();
  const navigate = useNavigate();
  const [help, setHelp] = useState(false);
  const go = (to: string) => () => void navigate({ to });
  useKeys({
    '?': () => setHelp(true),
    'g q': go('/'),
    'g p': go('/policies'),
    'g r': go('/recoveries'),
    'g f': go('/figures'),
  });
  return (
    <div className="desk">
      <a className="skip" href="#work">
        Skip to the page
      </a>
      <header className="side">
        <Link to="/" className="name">
          As Noted
        </Link>
        <nav aria-label="Desk">
          {onlooker?.doors.map(({ address, says, count }) => (
            <Link key={address} to={address.slice(DESK.length) || '/'} activeOptions={{ exact: address === DESK }}>
              {says}
              {count === undefined ? null : <span className="figures">{count}</span>}
            </Link>
          ))}
        </nav>
        <p className={`line ${line}`} role="status">
          {LINES[line]}
        </p>
        <p className="who">
          <span>{onlooker?.name}</span>
          <button type="button" className="plain" onClick={() => setHelp(true)}>
            Keys <kbd>?</kbd>
          </button>
          <form method="post" action="/sign-out">
            <button className="plain">Sign out</button>
          </form>
        </p>
      </header>
      <main id="work" tabIndex={-1}>
        <Outlet />
      </main>
      <KeysHelp opened={help} onClose={() => setHelp(false)} />
    </div>
  );
}

/** An address that leads nowhere. */
export function Lost(): ReactNode {
  return (
    <>
      <h1>There is no such page</h1>
      <p className="lead">
        The address is mistyped or old. <Link to="/">Go to the queue</Link>.
      </p>
    </>
  );
}
