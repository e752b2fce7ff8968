import type { ReactNode } from 'react';
import { withMoved, withoutEntry } from './document-edits.js';
import { useEditing } from './editing.js';

/** Up, down and out, for an entry of a list. */
export function EntryButtons(props: {
  readonly list: string;
  readonly index: number;
  readonly length: number;
  /** The entry in words, for those who only hear the button. */
  readonly what: string;
  readonly keepEmpty?: boolean;
}): ReactNode {
  const { list, index, length, what, keepEmpty = false } = props;
  const { edit } = useEditing();
  return (
    <span className="row tools">
      <button
        type="button"
        className="little"
        disabled={index === 0}
        aria-label={`Move up ${what}`}
        onClick={() => edit((draft) => withMoved(draft, list, index, index - 1))}
      >
        ↑
      </button>
      <button
        type="button"
        className="little"
        disabled={index === length - 1}
        aria-label={`Move down ${what}`}
        onClick={() => edit((draft) => withMoved(draft, list, index, index + 1))}
      >
        ↓
      </button>
      <button
        type="button"
        className="little"
        aria-label={`Take out ${what}`}
        onClick={() => edit((draft) => withoutEntry(draft, list, index, keepEmpty))}
      >
        Take out
      </button>
    </span>
  );
}
