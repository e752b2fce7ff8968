import { useNavigate } from '@tanstack/react-router';
import { useLayoutEffect, useRef, useState, type ReactNode } from 'react';
import type { QueueLine } from '../../domain/desk-data.js';
import { useKeys } from '../keys.js';
import { useOnlooker } from '../shell.js';
import { keepQueue, lastSearch } from './last-queue.js';
import { PickedBar, usePicked } from './picked.js';
import { QueueTable } from './queue-table.js';
import { TakeOver, TakingNews, useTakeClaims } from './take-claims.js';

interface ListProps {
  readonly lines: readonly QueueLine[];
  /** RFC 3339 */
  readonly now: string;
  /** What the view is called. */
  readonly says: string;
  /** What the address of the queue says, to come back to it. */
  readonly search: ReturnType<typeof lastSearch>;
}

/** The claims of a view, gone through by keys. What a key moves is drawn here alone, so that the rest of the page stays as it is. */
export function QueueList({ lines, now, says, search }: ListProps): ReactNode {
  const navigate = useNavigate();
  const { picked, pick, letGo } = usePicked(lines);
  const { here, step, table } = usePlace(lines.length);
  const { data: onlooker } = useOnlooker();
  const taking = useTakeClaims(onlooker);
  const chosen = picked.size === 0 ? [] : lines.filter(({ id }) => picked.has(id));
  const open = (id: string | undefined): void => {
    if (id !== undefined) void navigate({ to: '/claims/$id', params: { id } });
  };
  useKeys({
    j: () => step(1),
    k: () => step(-1),
    Enter: () => open(lines[here]?.id),
    x: () => {
      const line = lines[here];
      if (line) pick(line.id);
    },
    t: () => taking.start(chosen.length === 0 ? lines.slice(here, here + 1) : chosen),
  });
  return (
    <>
      <PickedBar
        picked={chosen}
        onGo={(ids) => {
          keepQueue(ids, search);
          open(ids[0]);
        }}
        onLetGo={letGo}
      >
        {taking.may ? (
          <button type="button" disabled={taking.running} onClick={() => taking.start(chosen)}>
            {taking.allMine(chosen) ? 'Put them back' : 'Take them'} <kbd aria-hidden="true">t</kbd>
          </button>
        ) : null}
      </PickedBar>
      <TakingNews taking={taking} />
      <TakeOver taking={taking} />
      <QueueTable
        ref={table}
        lines={lines}
        now={now}
        says={says}
        here={here}
        picked={picked}
        onPick={pick}
        me={onlooker?.id}
      />
    </>
  );
}

/** The line that the keys are on. */
function usePlace(length: number) {
  const [at, setAt] = useState(0);
  const here = Math.min(at, length - 1);
  const table = useRef<HTMLTableElement>(null);
  const byKey = useRef(false);
  useLayoutEffect(() => {
    // The window stays where it is until a key is used.
    if (byKey.current) table.current?.tBodies[0]?.rows[here]?.scrollIntoView({ block: 'nearest' });
  }, [here]);
  const step = (by: number): void => {
    byKey.current = true;
    setAt((was) => Math.max(0, Math.min(Math.min(was, length - 1) + by, length - 1)));
  };
  return { here, step, table };
}
