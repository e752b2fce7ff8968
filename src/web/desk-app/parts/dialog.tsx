import { useEffect, useRef, type ReactNode } from 'react';

interface DialogProps {
  readonly opened: boolean;
  readonly onClose: () => void;
  readonly title: string;
  readonly children: ReactNode;
}

/** A window over the page: the browser keeps the focus inside it, and Escape closes it. */
export function Dialog({ opened, onClose, title, children }: DialogProps): ReactNode {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    if (opened) dialog.current?.showModal();
    else dialog.current?.close();
  }, [opened]);
  return (
    <dialog ref={dialog} className="over" aria-label={title} onClose={onClose}>
      <div className="row spread">
        <h2>{title}</h2>
        <button type="button" onClick={onClose}>
          Close
        </button>
      </div>
      {children}
    </dialog>
  );
}
