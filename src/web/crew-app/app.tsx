import { useEffect, useState } from 'preact/hooks';
import { openLink, renew, type Opened } from './actions.js';
import { go, useApp, type AppState } from './app-state.js';
import { Frame, Heading, Note } from './parts/frame.js';
import { sayer } from './words/sayer.js';
import { Before } from './screens/before.js';
import { Check } from './screens/check.js';
import { OpenVisit } from './screens/open-visit.js';
import { Stop } from './screens/stop.js';
import { Visit } from './screens/visit.js';
import { inspection, inspectionsOf, type Inspection } from './walk/inspection.js';
import { standingStop } from '../domain/walk-view.js';

/** The whole app: which screen, for where the crew is and what stands. */
export function App({ link, keeps }: { readonly link: string | undefined; readonly keeps: boolean }) {
  const app = useApp();
  const [opened, setOpened] = useState<Opened | 'opening' | undefined>(link === undefined ? undefined : 'opening');
  const w = sayer(app.lang);
  const open = (secret: string): void => {
    setOpened('opening');
    void openLink(secret).then(setOpened, () => setOpened('down'));
  };
  useEffect(() => {
    if (link !== undefined) open(link);
  }, []);
  useEffect(() => {
    if (opened !== 'later' || link === undefined) return;
    const retry = (): void => open(link);
    addEventListener('online', retry);
    return () => removeEventListener('online', retry);
  }, [opened]);
  if (!keeps) {
    return (
      <Frame title={w('linkTitle')}>
        <Heading about="store">{w('linkTitle')}</Heading>
        <Note tone="bad">
          <p>{w('noStore')}</p>
        </Note>
      </Frame>
    );
  }
  const stopped = standing(app);
  if (stopped !== undefined) return <Stop of={stopped} />;
  const { path } = app.place;
  if (path === '/visit' || (opened !== undefined && opened !== 'open' && !path.startsWith('/crew/')))
    return <OpenVisit opened={opened} onOpen={open} />;
  return <Screen app={app} />;
}

/** A stop comes before every screen, whichever inspection of this phone has raised it. */
function standing(app: AppState): Inspection | undefined {
  return app.visits
    .flatMap(({ id }) => inspectionsOf(app, id))
    .find((each) => !each.finished && standingStop(each.walk) !== undefined);
}

type LaterScreens = typeof import('./screens/later.js');
let fetched: LaterScreens | undefined;

/** Screens that come after the first check are fetched once it is there. */
export async function fetchLater(): Promise<void> {
  fetched ??= await import('./screens/later.js');
}

function useLater(wanted: boolean): LaterScreens | undefined {
  const [later, setLater] = useState(fetched);
  useEffect(() => {
    if (wanted && later === undefined) void fetchLater().then(() => setLater(fetched));
  }, [wanted]);
  return later ?? fetched;
}

function Screen({ app }: { readonly app: AppState }) {
  const { path, query } = app.place;
  const [, area, id = '', screen = ''] = path.slice(1).split('/');
  const isLater = !['visits', 'inspections'].includes(area ?? '') || ['checks', 'send', 'sent'].includes(screen);
  const later = useLater(isLater);
  if (isLater && later === undefined) return <Frame title="…">{null}</Frame>;
  if (area === 'help' && later !== undefined) return <later.Help />;
  if (area === 'visits') {
    if (!app.visits.some((visit) => visit.id === id)) return <Missing visit={id} />;
    return screen === 'begin' ? <Before visit={id} unit={query.get('unit') ?? ''} /> : <Visit id={id} />;
  }
  if (area !== 'inspections') return later === undefined ? null : <later.Today />;
  const of = inspection(app, id);
  if (of === undefined) return <Missing visit={undefined} />;
  if (later !== undefined && screen === 'checks') return <later.Checks of={of} />;
  if (later !== undefined && screen === 'send') return <later.Send of={of} key={id} />;
  if (later !== undefined && screen === 'sent') return <later.Sent of={of} />;
  return <Check of={of} wanted={query.get('check')} />;
}

/** A visit that this phone does not hold: somebody who signed in may fetch it, a crew needs its link. */
function Missing({ visit }: { readonly visit: string | undefined }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const [gone, setGone] = useState(visit === undefined);
  useEffect(() => {
    if (visit === undefined) return;
    void renew(visit).then((how) => {
      if (how !== 'fresh') setGone(true);
    });
  }, [visit]);
  return (
    <Frame title={w('visit')}>
      <Heading about={`${gone}`}>{gone ? w('visit') : w('fetching')}</Heading>
      {gone ? (
        <Note tone="warn" alert>
          <p>{w('jobGone')}</p>
          <button onClick={() => go('/crew')}>{w('today')}</button>
        </Note>
      ) : null}
    </Frame>
  );
}
