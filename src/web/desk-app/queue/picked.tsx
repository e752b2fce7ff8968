import { useCallback, useMemo, useState, type ReactNode } from 'react';
import type { QueueLine } from '../../domain/desk-data.js';

/** The claims of the queue that somebody picked. One that has left the list is not picked any more. */
export function usePicked(lines: readonly QueueLine[]) {
  const [chosen, setChosen] = useState<ReadonlySet<string>>(new Set());
  const pick = useCallback(
    (id: string) => setChosen((was) => new Set(was.has(id) ? [...was].filter((each) => each !== id) : [...was, id])),
    [],
  );
  const letGo = useCallback(() => setChosen(new Set()), []);
  const picked = useMemo(() => new Set(lines.flatMap(({ id }) => (chosen.has(id) ? [id] : []))), [lines, chosen]);
  return { picked, pick, letGo };
}

interface BarProps {
  readonly picked: readonly QueueLine[];
  readonly onGo: (ids: readonly string[]) => void;
  readonly onLetGo: () => void;
  /** What else can be done with them. */
  readonly children?: ReactNode;
}

/** What can be done with the picked claims, first of all to go through them, and only them, one after the other. */
export function PickedBar({ picked, onGo, onLetGo, children }: BarProps): ReactNode {
  return (
    <div className="row picked">
      <p role="status">{picked.length === 0 ? '' : `${picked.length} picked.`}</p>
      {picked.length === 0 ? null : (
        <>
          <button type="button" onClick={() => onGo(picked.map(({ id }) => id))}>
            Go through the picked ones
          </button>
          {children}
          <button type="button" className="linklike" onClick={onLetGo}>
            Let them go
          </button>
        </>
      )}
    </div>
  );
}
