import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';

export type Line = 'live' | 'connecting' | 'cut';

/** What the service says has changed; ids only, so that everybody reads it anew with their own rights. */
interface Change {
  readonly kind: string;
  readonly id: string;
}

/** What the tab that holds the line tells the others; `ask` is what a new one asks. */
type Told = { readonly line: Line } | { readonly change: Change } | 'ask';

const NAME = 'as-noted-desk-line';

/**
 * Holds a line to the service until the signal ends it. Of all tabs one holds it and tells the others: browsers allow few lines to one
 * service (HTML standard, section 9.2, authoring notes; six in those that we know), and one more case in a tab of its own would wait for ever.
 */
function holdLine(tell: (told: Told) => void, ended: AbortSignal): void {
  const hold = (): Promise<void> =>
    new Promise((done) => {
      const source = new EventSource('/desk-data/changes');
      source.addEventListener('open', () => tell({ line: 'live' }));
      source.addEventListener('error', () => tell({ line: 'cut' }));
      source.addEventListener('change', ({ data }: MessageEvent<string>) =>
        tell({ change: JSON.parse(data) as Change }),
      );
      ended.addEventListener('abort', () => {
        source.close();
        done();
      });
    });
  // Browsers give locks only to pages that came encrypted or from the machine itself; elsewhere each tab has a line of its own.
  if (navigator.locks === undefined) void hold();
  else navigator.locks.request(NAME, { signal: ended }, hold).catch(() => undefined);
}

/** Listens for changes and lets what is shown be read again. @returns how the line stands */
export function useLive(): Line {
  const queries = useQueryClient();
  const [line, setLine] = useState<Line>('connecting');
  useEffect(() => {
    const ended = new AbortController();
    const tabs = new BroadcastChannel(NAME);
    const tell = (told: Told): void => {
      // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a channel is bound to its origin; only windows take one
      tabs.postMessage(told);
    };
    let now: Line = 'connecting';
    let holds = false;
    const hear = (told: Told): void => {
      if (told === 'ask') {
        if (holds) tell({ line: now });
      } else if ('line' in told) {
        // What changed while the line was cut was not heard, nor what changed between a first look and the line.
        if (told.line === 'live' && now === 'cut') void queries.invalidateQueries();
        if (told.line === 'live' && now === 'connecting')
          void queries.invalidateQueries({ predicate: ({ state }) => state.dataUpdatedAt > 0 });
        now = told.line;
        setLine(now);
      } else {
        const { kind, id } = told.change;
        void queries.invalidateQueries({ queryKey: [kind, id] });
        void queries.invalidateQueries({ queryKey: [`${kind}s`] });
      }
    };
    tabs.addEventListener('message', ({ data }: MessageEvent<Told>) => hear(data));
    tell('ask');
    holdLine((told) => {
      // A line that is taken over was cut in between.
      if (!holds && now === 'live') now = 'cut';
      holds = true;
      hear(told);
      tell(told);
    }, ended.signal);
    return () => {
      ended.abort();
      tabs.close();
    };
  }, [queries]);
  return line;
}
