import { useState } from 'preact/hooks';
import type { Opened } from '../actions.js';
import { useApp } from '../app-state.js';
import { Line } from '../parts/fields.js';
import { Frame, Heading, Note, Way } from '../parts/frame.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';

const SAYS: Readonly<Record<Exclude<Opened, 'open'>, CrewWord>> = {
  later: 'linkKept',
  expired: 'linkExpired',
  unknown: 'linkUnknown',
  down: 'serverDown',
};

/** Where a visit link leads, and where it can be pasted. */
export function OpenVisit(props: {
  readonly opened: Opened | 'opening' | undefined;
  readonly onOpen: (secret: string) => void;
}) {
  const { lang, visits } = useApp();
  const w = sayer(lang);
  const { opened, onOpen } = props;
  const [typed, setTyped] = useState('');
  const paste = (event: Event): void => {
    event.preventDefault();
    const secret = typed.trim().replace(/^.*#/, '');
    if (secret !== '') onOpen(secret.slice(0, 400));
  };
  return (
    <Frame title={w('linkTitle')}>
      <div class="stack">
        <Heading about={opened ?? ''}>{opened === 'opening' ? w('fetching') : w('linkTitle')}</Heading>
        {opened === undefined || opened === 'opening' || opened === 'open' ? null : (
          <Note tone={opened === 'later' ? 'info' : 'warn'} alert>
            <p>{w(SAYS[opened])}</p>
          </Note>
        )}
        {opened === 'opening' ? null : (
          <form class="stack" onSubmit={paste}>
            <Line id="link" label={w('linkLabel')} hint={w('linkHow')} value={typed} max={400} onType={setTyped} />
            <button class="go big-go">{w('linkOpen')}</button>
          </form>
        )}
        {visits.length === 0 ? null : (
          <Way to="/crew" class="button">
            {w('today')}
          </Way>
        )}
      </div>
    </Frame>
  );
}
