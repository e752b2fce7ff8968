import { useRef, type ReactNode } from 'react';
import type { OwnView } from '../../domain/desk-data.js';
import { useKeeping } from '../api/views.js';
import { TroubleNote } from '../parts/fields.js';
import { isOwn } from './queue-views.js';
import type { QueueWish } from './queue-wish.js';

/** Keeps what the queue shows under a name of one's own, or forgets it. */
export function KeepView({ wish, own }: { readonly wish: QueueWish; readonly own: readonly OwnView[] }): ReactNode {
  const { keeping, forgetting, trouble } = useKeeping();
  const name = useRef<HTMLInputElement>(null);
  const kept = own.find((each) => isOwn(each, wish));
  if (kept !== undefined) {
    return (
      <div className="keepview">
        <TroubleNote trouble={trouble} />
        <button type="button" disabled={forgetting.isPending} onClick={() => forgetting.mutate(kept.id)}>
          Forget the view “{kept.name}”
        </button>
      </div>
    );
  }
  return (
    <details className="keepview">
      <summary>Keep this view</summary>
      <form
        className="row"
        onSubmit={(event) => {
          event.preventDefault();
          const typed = name.current?.value.trim() ?? '';
          keeping.mutate({ ...wish, name: typed });
        }}
      >
        <TroubleNote trouble={trouble} />
        <div className="field">
          <label htmlFor="view-name">Name, for you alone</label>
          <input id="view-name" name="name" ref={name} maxLength={60} required autoComplete="off" />
        </div>
        <button disabled={keeping.isPending}>{keeping.isPending ? 'Sending…' : 'Keep it'}</button>
      </form>
    </details>
  );
}
