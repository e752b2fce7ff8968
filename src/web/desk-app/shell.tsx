import { useQuery } from '@tanstack/react-query';
import { Link, Outlet, useNavigate, useRouterState } from '@tanstack/react-router';
import { useEffect, useState, type ReactNode } from 'react';
import type { DeskOnlooker } from '../domain/desk-data.js';
import { read } from './api/http.js';
import { KeysHelp } from './keys-help.js';
import { useKeys } from './keys.js';
import { useLive, type Line } from './live.js';
import { OwingCount } from './phones/owing-count.js';

export function useOnlooker() {
  return useQuery({
    queryKey: ['onlooker'],
    queryFn: async ({ signal }) => (await read<DeskOnlooker>('/desk-data/me', signal)).body,
  });
}

const LINES: Readonly<Record<Line, string>> = {
  live: 'Live',
  connecting: 'Connecting',
  cut: 'No line: what you see may be old',
};

/** The first of the doors that open, for somebody who has none to the queue. */
function useOwnDoor(doors: DeskOnlooker['doors'] | undefined): void {
  const navigate = useNavigate();
  const atStart = useRouterState({ select: ({ location }) => location.pathname.replace(/\/$/, '') === '' });
  const door = doors?.some(({ to }) => to === '/') === false ? doors[0] : undefined;
  useEffect(() => {
    if (!atStart || door === undefined) return;
    if (door.to === undefined) location.replace(door.href ?? '/account');
    else void navigate({ to: door.to, replace: true });
  }, [atStart, door, navigate]);
}

/** Frame of every page: the doors at the side, the page beside them. */
export function Shell(): ReactNode {
  const { data: onlooker } = useOnlooker();
  useOwnDoor(onlooker?.doors);
  const line = useLive();
  const navigate = useNavigate();
  const [help, setHelp] = useState(false);
  const go = (to: string) => () => void navigate({ to });
  const toMine = (): void => void navigate({ to: '/', search: { view: 'mine' } });
  const find = async (): Promise<void> => {
    if (document.getElementById('find') === null) await navigate({ to: '/' });
    document.getElementById('find')?.focus();
  };
  useKeys({
    '/': () => void find(),
    '?': () => setHelp(true),
    'g q': go('/'),
    'g m': toMine,
    'g p': go('/policies'),
    'g e': go('/models'),
    'g r': go('/recoveries'),
    'g d': go('/due'),
    'g v': go('/visits'),
    'g f': go('/figures'),
    'g h': go('/phones'),
    'g t': go('/trail'),
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
          {onlooker?.doors.map(({ to, href, says, counts }) =>
            to === undefined ? (
              <a key={says} href={href}>
                {says}
              </a>
            ) : (
              <Link key={says} to={to} activeOptions={{ exact: to === '/', includeSearch: false }}>
                {says}
                {counts === 'phones' ? <OwingCount /> : null}
              </Link>
            ),
          )}
        </nav>
        <p className={`line ${line}`} role="status">
          {LINES[line]}
        </p>
        <p className="who">
          <span>{onlooker?.name}</span>
          <button type="button" className="plain" onClick={() => setHelp(true)}>
            Keys <kbd>?</kbd>
          </button>
          <a href="/account">Account</a>
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
