import { useMemo, useState, type ReactNode } from 'react';
import type { Model } from '../../../catalogue/catalogue.contract.js';
import { Trouble } from '../api/http.js';
import { EditingProvider, goToPointer, sharing } from '../parts/editing.js';
import { TroubleNote } from '../parts/fields.js';
import type { KeptDraft } from '../parts/kept-draft.js';
import { Note } from '../parts/parts.js';
import { ModelFields } from './model-fields.js';
import { readTyped, type TypedModel } from './model-form.js';
import { changedFields } from './model-changes.js';

interface EditorProps {
  readonly draft: KeptDraft<TypedModel>;
  /** What the service has now; undefined for a model that is being added. */
  readonly served: TypedModel | undefined;
  readonly trouble: Trouble | undefined;
  readonly running: boolean;
  readonly button: string;
  readonly onSend: (model: Model) => void;
  readonly onClose?: () => void;
}

/** A model as a form. Faults of fields are told once it was tried to save, and from then on as they are mended. */
export function ModelEditor(props: EditorProps): ReactNode {
  const { draft, served, trouble, running, button, onSend, onClose } = props;
  const [tried, setTried] = useState(false);
  const { document, edit } = draft;
  const found = useMemo(() => readTyped(document), [document]);
  const refused = trouble?.faults ?? [];
  // What the service says stands until something is changed; what the form says, as long as it holds.
  const faults = tried ? [...found.faults, ...refused] : [];
  const submit = (): void => {
    setTried(true);
    const [first] = found.faults;
    if (first !== undefined) {
      // The faults are on the page only after they were told to be shown.
      setTimeout(() => goToPointer(first.pointer));
    } else if (found.model !== undefined) onSend(found.model);
  };
  return (
    <EditingProvider value={sharing({ document, faults, edit })}>
      <form
        className="modelform"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          submit();
        }}
      >
        <ModelFields isNew={served === undefined} />
        <section className="sheet stack" aria-label="Save">
          <Refusal draft={draft} served={served} trouble={trouble} />
          {tried && found.faults.length > 0 ? <FaultList faults={found.faults} /> : null}
          <p role="status" className="quiet">
            {draft.changed ? 'Your changes are kept in this browser until you save them.' : ''}
          </p>
          <div className="row">
            <button className="go" disabled={running || draft.overtaken}>
              {running ? 'Saving…' : button}
            </button>
            <button type="button" disabled={draft.undo === undefined} onClick={draft.undo}>
              Undo
            </button>
            {onClose === undefined ? null : (
              <button type="button" onClick={onClose}>
                {draft.changed ? 'Give the changes up' : 'Close'}
              </button>
            )}
          </div>
        </section>
      </form>
    </EditingProvider>
  );
}

/** Why it was not saved: somebody else was there first, or the service says what. */
function Refusal({ draft, served, trouble }: Pick<EditorProps, 'draft' | 'served' | 'trouble'>): ReactNode {
  if (!draft.overtaken || served === undefined)
    return <TroubleNote trouble={trouble?.code === 'version-changed' ? undefined : trouble} />;
  return (
    <Note tone="warn" title="Somebody else changed this model meanwhile.">
      <p>
        These differ between what is there now and what you have: {changedFields(served, draft.document).join(', ')}.
      </p>
      <p className="row">
        <button type="button" onClick={draft.keepMine}>
          Go on with mine
        </button>
        <button type="button" onClick={draft.takeTheirs}>
          Take theirs, give mine up
        </button>
      </p>
    </Note>
  );
}

function FaultList({
  faults,
}: {
  readonly faults: readonly { readonly pointer: string; readonly detail: string }[];
}): ReactNode {
  return (
    <div className="note bad" role="alert">
      <strong>
        {faults.length === 1 ? 'One field needs another look.' : `${faults.length} fields need another look.`}
      </strong>
      <ul>
        {faults.map(({ pointer, detail }) => (
          <li key={`${pointer} ${detail}`}>
            <button type="button" className="linklike" onClick={() => goToPointer(pointer)}>
              {detail}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
