import { useState, type ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { DeskOnlooker, QueueLine } from '../../domain/desk-data.js';
import { count } from '../../domain/time-words.js';
import { useTaking } from '../api/taking.js';
import { Dialog } from '../parts/dialog.js';
import { TroubleNote } from '../parts/fields.js';

export type TakeClaims = ReturnType<typeof useTakeClaims>;

/** Taking claims from the queue. What is all one's own is put back; what others have is taken over only after a question. */
export function useTakeClaims(onlooker: DeskOnlooker | undefined) {
  const taking = useTaking();
  const [asked, setAsked] = useState<readonly QueueLine[]>([]);
  const may = onlooker?.acts.includes('claim.assess') === true;
  const isMine = ({ takenBy }: QueueLine): boolean => takenBy !== null && takenBy.id === onlooker?.id;
  const allMine = (lines: readonly QueueLine[]): boolean => lines.length > 0 && lines.every(isMine);
  return {
    may,
    allMine,
    /** Claims about which is asked whether to take them over; empty while nothing is. */
    asked,
    running: taking.running,
    trouble: taking.trouble,
    taken: taking.taken,
    start: (lines: readonly QueueLine[]): void => {
      if (!may || taking.running || lines.length === 0) return;
      const others = lines.filter((line) => line.takenBy !== null && !isMine(line));
      if (allMine(lines)) taking.putBack(lines.map(({ id }) => ({ id })));
      else if (others.length > 0) setAsked(lines.filter((line) => !isMine(line)));
      else taking.take(lines.filter(({ takenBy }) => takenBy === null).map(({ id }) => ({ id })));
    },
    takeAll: (): void => {
      taking.take(asked.map(({ id, takenBy }) => (takenBy === null ? { id } : { id, from: takenBy.id })));
      setAsked([]);
    },
    takeFree: (): void => {
      taking.take(asked.filter(({ takenBy }) => takenBy === null).map(({ id }) => ({ id })));
      setAsked([]);
    },
    leave: () => setAsked([]),
  };
}

/** What came of it. */
export function TakingNews({ taking: { taken, trouble } }: { readonly taking: TakeClaims }): ReactNode {
  const says =
    taken === undefined || taken.done === 0
      ? ''
      : `${count(taken.done, 'claim')} ${taken.putBack ? 'put back.' : 'taken.'}`;
  return (
    <>
      <p role="status" className={says === '' ? 'away' : undefined}>
        {says}
      </p>
      <TroubleNote trouble={trouble} />
    </>
  );
}

/** Asks before claims that others have are taken over. */
export function TakeOver({ taking: { asked, leave, takeAll, takeFree } }: { readonly taking: TakeClaims }): ReactNode {
  const others = asked.filter(({ takenBy }) => takenBy !== null);
  const free = asked.length - others.length;
  const one = asked.length === 1;
  return (
    <Dialog opened={asked.length > 0} onClose={leave} title={one ? 'Take it over?' : 'Take them over?'}>
      <div className="stack">
        <ul>
          {others.map(({ id, number, serial, takenBy }) => (
            <li key={id}>
              {takenBy?.name} has {number === null ? `the draft for ${serial}` : showClaimNumber(number)}.
            </li>
          ))}
        </ul>
        <p>Nothing that they wrote is lost, and they see at once that you have it.</p>
        <p className="row">
          <button type="button" className="go" onClick={takeAll}>
            {one ? 'Take it over' : `Take all ${asked.length}`}
          </button>
          {free === 0 ? null : (
            <button type="button" onClick={takeFree}>
              Take only the {free} that nobody has
            </button>
          )}
          <button type="button" onClick={leave}>
            Leave {one ? 'it' : 'them'}
          </button>
        </p>
      </div>
    </Dialog>
  );
}
