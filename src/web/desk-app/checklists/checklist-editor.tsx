import { useMemo, useRef, useState, type ReactNode } from 'react';
import { checkChecklist, type Checklist } from '../../../inspections/inspections.contract.js';
import { useKeptDraft } from '../parts/kept-draft.js';
import { ChecklistBench } from './checklist-bench.js';
import { troubleOf, useChecklistActs, type ChecklistLine, type ChecklistVersion } from './checklists-data.js';
import { EditingProvider, sharing } from '../parts/editing.js';
import { SaveBar } from './save-bar.js';
import { SaveStrip } from './save-strip.js';

/** Under which name this browser keeps changes of a draft that are not saved. */
export function keptName({ code, version }: Pick<ChecklistLine, 'code' | 'version'>): string {
  return `as-noted-checklist ${code}/${version}`;
}

interface EditorProps {
  readonly served: ChecklistVersion;
  readonly inForce: ChecklistVersion | undefined;
}

/** A draft that is changed; the checker of the contract runs at every change, so that faults show while one types. */
export function ChecklistEditor({ served, inForce }: EditorProps): ReactNode {
  const draft = useKeptDraft<Checklist>(keptName(served.line), served);
  const checked = useMemo(() => checkChecklist(draft.document), [draft.document]);
  const faults = checked.ok ? [] : checked.faults;
  const sound = useRef<Checklist | undefined>(undefined);
  if (checked.ok) sound.current = checked.value;
  const [toOpen, setToOpen] = useState<{ readonly pointer: string }>();
  const { saving } = useChecklistActs();
  const { document, edit } = draft;
  const save = (): void =>
    saving.mutate({ document, base: draft.base }, { onSuccess: ({ version }) => draft.saved(document, version) });
  const strip = (
    <SaveStrip
      draft={draft}
      faults={faults.length}
      saving={saving.isPending}
      onSave={save}
      onFault={() => setToOpen({ pointer: faults[0]?.pointer ?? '#' })}
    />
  );
  return (
    <EditingProvider value={sharing({ document, faults, edit })}>
      <SaveBar
        served={served}
        draft={draft}
        faults={faults}
        inForce={inForce}
        trouble={troubleOf(saving.error)}
        onOpen={(pointer) => setToOpen({ pointer })}
      />
      <ChecklistBench
        checklist={document}
        sound={sound.current}
        faults={faults}
        editable
        toOpen={toOpen}
        edit={edit}
        strip={strip}
      />
    </EditingProvider>
  );
}
