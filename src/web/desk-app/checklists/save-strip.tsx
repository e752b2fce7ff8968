import type { ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import type { KeptDraft } from '../parts/kept-draft.js';

interface StripProps {
  readonly draft: KeptDraft<Checklist>;
  readonly faults: number;
  readonly saving: boolean;
  readonly onSave: () => void;
  readonly onFault: () => void;
}

/** What one wants at hand wherever one is in a long list: saving, going back, and the first thing that is wrong. */
export function SaveStrip({ draft, faults, saving, onSave, onFault }: StripProps): ReactNode {
  return (
    <div className="strip row" role="group" aria-label="Save">
      <button type="button" className="go" disabled={!draft.changed || saving || draft.overtaken} onClick={onSave}>
        {saving ? 'Saving…' : 'Save the draft'}
      </button>
      <button type="button" disabled={draft.undo === undefined} onClick={draft.undo}>
        Undo
      </button>
      <button type="button" disabled={draft.redo === undefined} onClick={draft.redo}>
        Redo
      </button>
      {faults === 0 ? null : (
        <button type="button" className="no" onClick={onFault}>
          {faults === 1 ? '1 fault' : `${faults} faults`}: go to the first
        </button>
      )}
    </div>
  );
}
