import type { ReactNode } from 'react';
import { Dialog } from '../parts/dialog.js';

interface EndKeyProps {
  readonly name: string;
  readonly onClose: () => void;
  readonly onEnd: () => void;
}

/** Asks once more before a key is ended, because that cannot be taken back. */
export function EndKey({ name, onClose, onEnd }: EndKeyProps): ReactNode {
  return (
    <Dialog opened onClose={onClose} title={`End the key “${name}”?`}>
      <div className="stack">
        <p>Every program that presents it is refused from the next request on. This cannot be taken back.</p>
        <p className="row">
          <button type="button" className="no" onClick={onEnd}>
            End the key
          </button>
          <button type="button" onClick={onClose}>
            Keep it
          </button>
        </p>
      </div>
    </Dialog>
  );
}
