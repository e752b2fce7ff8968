import { useDeferredValue, useEffect, useMemo, useRef, useState } from 'react';
import { checkEvidenceModel, type EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { modelDifference, type ModelChange } from '../../../diagnosis/study.contract.js';
import type { Fault } from '../../../kernel/outcome.js';
import type { ModelData } from '../../domain/desk-models.js';
import { useSaving } from '../api/models.js';
import type { Trouble } from '../api/http.js';
import { forgetAt, keepAt, keptAt, placeOf, type KeptDraft } from './kept-draft.js';
import { onTop } from './merge-models.js';
import type { Edit, TypedModel } from './model-edits.js';

/** A version on the page: as it is typed, what is wrong with it, and what may be done. */
export interface ModelDraft {
  /** Whether it can be changed: a draft, and somebody who may. */
  readonly editable: boolean;
  readonly typed: TypedModel;
  /** What this person had typed and not saved when the draft was published; undefined where nothing is left. */
  readonly left: TypedModel | undefined;
  /** The last state without a fault of form or meaning: what weights and trials are worked out from. */
  readonly sound: EvidenceModel;
  /** What is wrong with it, as of when the keyboard last rested. */
  readonly faults: readonly Fault[];
  /** What is wrong with it as it stands this moment. */
  readonly faultsNow: () => readonly Fault[];
  /** What was typed and is not saved. */
  readonly unsaved: readonly ModelChange[];
  /** What somebody else saved since the page began from its state; empty where nobody did. */
  readonly theirs: readonly ModelChange[];
  readonly overtaken: boolean;
  /** Whether unsaved changes rest in the browser. */
  readonly kept: boolean;
  readonly change: (edit: Edit) => void;
  readonly undo: (() => void) | undefined;
  readonly save: () => void;
  /** Goes on from what somebody else saved, with what was typed here on top of it. */
  readonly goOn: () => void;
  /** Puts everything back to what the service has. */
  readonly putBack: () => void;
  readonly saving: boolean;
  readonly savedAt: string | undefined;
  readonly trouble: Trouble | undefined;
}

const MOST_UNDONE = 200;

/** Keeps a draft while it is typed: in the page, in the browser, and at the service when it is saved. @param person uuid of whoever types */
export function useModelDraft(data: ModelData, person: string): ModelDraft {
  const { code, version } = data.line;
  const place = placeOf(person, code, version);
  const editable = data.line.state === 'draft' && data.rights.edit;
  const fresh = (): KeptDraft => ({ typed: data.document, base: data.document, edit: data.edit });
  const [held, setHeld] = useState<KeptDraft>(() => (data.rights.edit ? (keptAt(place) ?? fresh()) : fresh()));
  const [past, setPast] = useState<readonly TypedModel[]>([]);
  const [kept, setKept] = useState(true);
  const [savedAt, setSavedAt] = useState<string>();
  const sent = useRef<TypedModel>(held.typed);
  const unsaved = useMemo(() => changesOf(held.base, held.typed), [held]);
  const theirs = useMemo(
    () => (data.edit === held.edit ? [] : withoutLearnt(modelDifference(held.base, data.document))),
    [data, held.base, held.edit],
  );
  const saving = useSaving(code, version, (edit) => {
    // Checked by the service just now; what was typed while it was under way stays typed.
    const base = sent.current as EvidenceModel;
    setHeld((now) => ({ typed: now.typed, base, edit }));
    setSavedAt(new Date().toISOString());
  });
  // Nothing typed: what somebody else saved is simply shown.
  useEffect(() => {
    if (unsaved.length === 0 && data.edit > held.edit) setHeld(fresh());
  });
  useEffect(() => {
    if (!data.rights.edit) return;
    if (unsaved.length === 0) forgetAt(place);
    else setKept(keepAt(place, held));
  }, [data.rights.edit, held, place, unsaved]);
  // A version that was published meanwhile is shown as it was published.
  const typed = editable ? held.typed : data.document;
  const { faults, sound } = useChecked(typed, data, editable);
  const put = (next: TypedModel): void => setHeld((now) => ({ ...now, typed: next }));
  return {
    editable,
    typed,
    left: !editable && unsaved.length > 0 ? held.typed : undefined,
    sound,
    faults,
    faultsNow: () => {
      const outcome = checkEvidenceModel(held.typed, data.checklist ?? undefined);
      return outcome.ok ? [] : outcome.faults;
    },
    unsaved,
    theirs,
    overtaken: data.edit > held.edit && unsaved.length > 0,
    kept,
    change: (edit) => {
      setPast((before) => [...before, held.typed].slice(-MOST_UNDONE));
      put(edit(held.typed));
    },
    undo:
      past.length === 0
        ? undefined
        : () => {
            const last = past.at(-1);
            if (last !== undefined) put(last);
            setPast(past.slice(0, -1));
          },
    save: () => {
      sent.current = held.typed;
      saving.save(held.typed, held.edit);
    },
    goOn: () => {
      setPast([]);
      setHeld({ typed: onTop(held.base, held.typed, data.document), base: data.document, edit: data.edit });
    },
    putBack: () => {
      setPast((before) => [...before, held.typed].slice(-MOST_UNDONE));
      setHeld(fresh());
    },
    saving: saving.running,
    savedAt,
    trouble: saving.trouble,
  };
}

/** The members are compared as they stand, so that text where a number belongs is a change like any other. */
function changesOf(base: EvidenceModel, typed: TypedModel): ModelChange[] {
  return base === typed ? [] : withoutLearnt(modelDifference(base, typed as EvidenceModel));
}

/** Where a number was learnt stands beside the number; it is no change of its own. */
export function withoutLearnt(changes: readonly ModelChange[]): ModelChange[] {
  return changes.filter(({ member }) => !member.startsWith('learnt'));
}

/** Faults of what is typed, worked out when the keyboard rests, and the last state without any. What is published is past checking. */
function useChecked(
  typed: TypedModel,
  { checklist, document }: ModelData,
  editable: boolean,
): { faults: readonly Fault[]; sound: EvidenceModel } {
  const resting = useDeferredValue(typed);
  const outcome = useMemo(
    () => (editable ? checkEvidenceModel(resting, checklist ?? undefined) : undefined),
    [editable, resting, checklist],
  );
  const last = useRef(document);
  if (outcome === undefined) return { faults: [], sound: document };
  if (outcome.ok) last.current = outcome.value;
  return { faults: outcome.ok ? [] : outcome.faults, sound: last.current };
}
