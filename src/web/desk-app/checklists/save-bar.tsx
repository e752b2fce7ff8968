import { useState, type ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import type { Fault } from '../../../kernel/outcome.js';
import type { Trouble } from '../api/http.js';
import { TroubleNote } from '../parts/fields.js';
import type { KeptDraft } from '../parts/kept-draft.js';
import { Note } from '../parts/parts.js';
import { troubleOf, useChecklistActs, type ChecklistVersion } from './checklists-data.js';
import { placeWords } from './checklist-words.js';
import { DifferenceWords } from './difference-words.js';
import { missingSpanish } from './missing-spanish.js';

interface SaveBarProps {
  readonly served: ChecklistVersion;
  readonly draft: KeptDraft<Checklist>;
  readonly faults: readonly Fault[];
  /** The version that is in force now; undefined where none is. */
  readonly inForce: ChecklistVersion | undefined;
  /** Why it was not saved. */
  readonly trouble: Trouble | undefined;
  /** Leads a person to a place. */
  readonly onOpen: (pointer: string) => void;
}

/** How the draft stands: what is saved, what is wrong, and publishing. */
export function SaveBar(props: SaveBarProps): ReactNode {
  const { served, draft, faults, trouble } = props;
  const { publishing } = useChecklistActs();
  return (
    <section className="sheet stack savebar" aria-labelledby="save">
      <h2 id="save">Save and publish</h2>
      <p role="status">
        {draft.changed ? 'Your changes are kept in this browser until you save them.' : 'Everything is saved.'}
      </p>
      {draft.overtaken ? (
        <Note tone="warn" title="Somebody else saved this draft meanwhile.">
          <p>What they have now, compared with what you have here:</p>
          <DifferenceWords before={served.document} after={draft.document} />
          <p className="row">
            <button type="button" onClick={draft.keepMine}>
              Go on with mine
            </button>
            <button type="button" onClick={draft.takeTheirs}>
              Take theirs, give mine up
            </button>
          </p>
        </Note>
      ) : (
        <TroubleNote trouble={trouble?.code === 'version-changed' ? undefined : trouble} />
      )}
      <Faults checklist={draft.document} faults={faults} onOpen={props.onOpen} />
      <Publish {...props} publishing={publishing} />
    </section>
  );
}

/** What is wrong, each leading to its place. */
function Faults(props: Pick<SaveBarProps, 'faults' | 'onOpen'> & { readonly checklist: Checklist }): ReactNode {
  const { checklist, faults, onOpen } = props;
  if (faults.length === 0) return <p className="ok">No faults: it can be saved and published.</p>;
  return (
    <div>
      <h3>{faults.length === 1 ? '1 fault' : `${faults.length} faults`}</h3>
      <p className="small quiet">
        The service takes a draft only without faults. Until then your text stays in this browser.
      </p>
      <ul className="plain faults">
        {faults.map(({ pointer, detail }) => (
          <li key={`${pointer} ${detail}`}>
            <button type="button" className="linklike" onClick={() => onOpen(pointer)}>
              {placeWords(checklist, pointer)}: {detail}
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}

function Publish(
  props: SaveBarProps & { readonly publishing: ReturnType<typeof useChecklistActs>['publishing'] },
): ReactNode {
  const { served, draft, faults, inForce, publishing } = props;
  const [sure, setSure] = useState(false);
  const { code, version } = served.line;
  const english = missingSpanish(draft.document).length;
  const ready = !draft.changed && faults.length === 0;
  return (
    <details className="act">
      <summary>Publish version {version}</summary>
      <div className="stack">
        <p>
          From that moment on new inspections go by it; those that have begun keep the version they began with. A
          published version never changes: what is wrong then is put right by a new version. Checklists need no second
          person; let one read it all the same.
        </p>
        <h3>Compared with the version in force</h3>
        {inForce === undefined ? (
          <p className="quiet">No version is in force yet.</p>
        ) : (
          <DifferenceWords before={inForce.document} after={draft.document} />
        )}
        {english === 0 ? (
          <p className="ok">Every sentence is there in Spanish.</p>
        ) : (
          <p className="warn">
            {english === 1 ? '1 sentence has' : `${english} sentences have`} no Spanish: crews who read Spanish see the
            English.
          </p>
        )}
        <TroubleNote trouble={troubleOf(publishing.error)} />
        {ready ? null : <p>Save the draft without faults first.</p>}
        <label className="pick">
          <input type="checkbox" checked={sure} onChange={({ currentTarget }) => setSure(currentTarget.checked)} />I
          have read it through, also on the phone
        </label>
        <button
          type="button"
          className="go"
          disabled={!ready || !sure || publishing.isPending}
          onClick={() => publishing.mutate({ code, version, base: draft.base })}
        >
          {publishing.isPending ? 'Publishing…' : `Publish version ${version}`}
        </button>
      </div>
    </details>
  );
}
