import { useBlocker } from '@tanstack/react-router';
import { useEffect, useRef, type ReactNode } from 'react';
import { keepAll } from './sheet-store.js';

/** Asks before a page with unsaved edits is left; trying a case of the same version is no leaving. */
export function LeaveGuard({ changed, home }: { readonly changed: boolean; readonly home: string }): ReactNode {
  const { status, proceed, reset } = useBlocker({
    shouldBlockFn: ({ next }) => changed && next.pathname !== home && next.pathname !== `${home}/try`,
    enableBeforeUnload: () => changed,
    withResolver: true,
  });
  const asks = status === 'blocked';
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (asks) dialog.current?.showModal();
  }, [asks]);
  if (!asks) return null;
  return (
    <dialog ref={dialog} className="over" role="alertdialog" aria-labelledby="leave-title" onClose={reset}>
      <h2 id="leave-title">Your changes are not saved</h2>
      <p>They stay in this browser and are here again when you come back to this version. Nobody else sees them.</p>
      <p className="row">
        <button type="button" className="go" autoFocus onClick={reset}>
          Stay here
        </button>
        <button
          type="button"
          onClick={() => {
            keepAll();
            proceed();
          }}
        >
          Leave without saving
        </button>
      </p>
    </dialog>
  );
}
