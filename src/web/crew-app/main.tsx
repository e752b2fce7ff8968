import { render } from 'preact';
import { App, fetchLater } from './app.js';
import { openLink, pendingLink, tidy } from './actions.js';
import { firstVisit, refresh } from './app-state.js';
import { keepShell, sendOwed, watchLine } from './engine.js';
import { keepsThings } from './keep/database.js';
import { readyReader } from './photo/read-code.js';
import './crew.css';

// The secret of a visit link is taken out of the address bar before anything else happens, so that it stands in no history and no log; as a
// rule by the small script that runs before this one.
const inBar = /^#(anl_[\w-]+)$/.exec(location.hash)?.[1];
if (inBar !== undefined) history.replaceState(null, '', '/visit');
const linked = inBar ?? globalThis.earlyVisit?.secret;

async function begin(): Promise<void> {
  const root = document.getElementById('app');
  if (root === null) return;
  if (!(await keepsThings())) {
    render(<App link={undefined} keeps={false} />, root);
    return;
  }
  await refresh();
  const link = linked ?? (await pendingLink());
  render(<App link={link === '' ? undefined : link} keeps />, root);
  watchLine();
  // What is only needed later does not stand in the way of the visit on a slow line.
  await firstVisit();
  await tidy();
  void sendOwed();
  await keepShell();
  await fetchLater();
  await readyReader();
}

// A second link may be opened in a tab that is here already.
addEventListener('hashchange', () => {
  const secret = /^#(anl_[\w-]+)$/.exec(location.hash)?.[1];
  if (secret === undefined) return;
  history.replaceState(null, '', '/visit');
  void openLink(secret);
});

begin().catch(() => undefined);
