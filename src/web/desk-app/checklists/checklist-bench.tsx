import { useEffect, useLayoutEffect, useRef, useState, type ReactNode } from 'react';
import type { Checklist, ChecklistItem } from '../../../inspections/inspections.contract.js';
import type { Fault } from '../../../kernel/outcome.js';
import type { PreviewPlace } from '../../shared/preview-message.js';
import { withoutEntry } from '../parts/document-edits.js';
import type { KeptDraft } from '../parts/kept-draft.js';
import { AroundRead, HeadForm, StopsForm } from './around-form.js';
import { moveItem, pointerOf, type ItemPlace } from './checklist-edits.js';
import { useExampleUnit } from './checklists-data.js';
import { faultsBelow, goToPointer } from '../parts/editing.js';
import { missingSpanish } from './missing-spanish.js';
import { Outline } from './outline.js';
import { Phone, type PhoneWish } from './phone.js';
import { answersThatAsk } from './way-to-check.js';

interface BenchProps {
  readonly checklist: Checklist;
  /** The last state without faults, which the phone can show. */
  readonly sound: Checklist | undefined;
  readonly faults: readonly Fault[];
  readonly editable: boolean;
  /** A place that a person is led to. */
  readonly toOpen?: { readonly pointer: string };
  readonly edit?: KeptDraft<Checklist>['edit'];
  /** What stays at hand below the checks. */
  readonly strip?: ReactNode;
}

/** The checks at one side, the phone at the other. */
export function ChecklistBench(props: BenchProps): ReactNode {
  const { checklist, sound, faults, editable, toOpen, edit, strip } = props;
  const [find, setFind] = useState('');
  const [only, setOnly] = useState('');
  const { wish, told, showPlace, showItem } = usePhone(sound ?? checklist);
  const unit = useExampleUnit(checklist.family);
  const { open, toggle, move, takeOut } = useRows(checklist, edit, toOpen);
  useEffect(() => {
    // A place that a person is led to must not be hidden by what they looked for before.
    if (toOpen === undefined) return;
    setFind('');
    setOnly('');
  }, [toOpen]);
  const fits = (item: ChecklistItem, at: string): boolean =>
    JSON.stringify(item).toLowerCase().includes(find.trim().toLowerCase()) &&
    (only !== 'english' || missingSpanish(item).length > 0) &&
    (only !== 'faults' || faultsBelow(faults, at).length > 0);
  const showStop = (stop: string): void => showPlace({ at: 'stop', stop });
  return (
    <div className="bench">
      <div className="work">
        {editable ? <HeadForm /> : <AroundRead checklist={checklist} part="cautions" onShow={showStop} />}
        <Finder find={find} only={only} editable={editable} onFind={setFind} onOnly={setOnly} />
        <p role="status" className="small">
          {told}
        </p>
        <Outline {...{ checklist, faults, editable, open, toggle, move, takeOut, fits }} show={showItem(unit)} />
        {editable ? (
          <StopsForm onShow={showStop} />
        ) : (
          <AroundRead checklist={checklist} part="stops" onShow={showStop} />
        )}
        {strip}
      </div>
      <Phone
        checklist={sound}
        unit={unit}
        wish={wish}
        behind={faults.length > 0}
        onBegin={() => showPlace({ at: 'beginning' })}
      />
    </div>
  );
}

/** Which checks stand open, and how they move; a place that a person is led to is opened. */
function useRows(checklist: Checklist, edit: BenchProps['edit'], toOpen: BenchProps['toOpen']) {
  const [open, setOpen] = useState<ReadonlySet<string>>(new Set());
  const [lead, setLead] = useState<BenchProps['toOpen']>();
  const focus = useFocusAfterMove();
  useEffect(() => {
    if (toOpen === undefined) return;
    const at = /^#\/sections\/\d+\/items\/\d+/.exec(toOpen.pointer)?.[0];
    if (at !== undefined) setOpen((now) => new Set([...now, at]));
    setLead(toOpen);
  }, [toOpen]);
  // The place is on the page only once it has been opened.
  useEffect(() => (lead === undefined ? undefined : goToPointer(lead.pointer)), [lead]);
  const toggle = (at: string): void =>
    setOpen((now) => new Set(now.has(at) ? [...now].filter((each) => each !== at) : [...now, at]));
  const move = (place: ItemPlace, by: 1 | -1): void => {
    const to = moveItem(checklist, place, by);
    if (to.checklist === checklist) return;
    edit?.(() => to.checklist);
    setOpen((now) => followed(now, pointerOf(place), pointerOf(to.place)));
    focus(pointerOf(to.place));
  };
  const takeOut = (place: ItemPlace): void => {
    edit?.((draft) => withoutEntry(draft, `#/sections/${place.section}/items`, place.index, true));
    // Those behind it move up one place, so that what stood open there is another check now.
    setOpen((now) => new Set([...now].filter((at) => !at.startsWith(`#/sections/${place.section}/`))));
  };
  return { open, toggle, move, takeOut };
}

/** What the phone is to show, and what is said where it cannot. */
function usePhone(checklist: Checklist) {
  const [wish, setWish] = useState<PhoneWish>({ place: { at: 'beginning' }, n: 1 });
  const [told, setTold] = useState('');
  const showPlace = (place: PreviewPlace): void => setWish(({ n }) => ({ place, n: n + 1 }));
  const showItem =
    (unit: Parameters<typeof answersThatAsk>[2]) =>
    (item: ChecklistItem): void => {
      const answers = answersThatAsk(checklist, item.id, unit);
      if (answers === undefined) {
        setTold('No answers were found after which this check is asked, or it has faults. Look at its conditions.');
        return;
      }
      setTold(answers.length === 0 ? '' : 'The phone has answered what comes before, so that this check is asked.');
      showPlace({ at: 'check', item: item.id, answers });
    };
  return { wish, told, showPlace, showItem };
}

/** After a check was moved, the focus goes with it. */
function useFocusAfterMove(): (at: string) => void {
  const wanted = useRef('');
  useLayoutEffect(() => {
    if (wanted.current === '') return;
    document.getElementById(wanted.current)?.focus();
    wanted.current = '';
  });
  return (at) => {
    wanted.current = at;
  };
}

/** Open checks, after two of them have changed places. */
function followed(open: ReadonlySet<string>, from: string, to: string): ReadonlySet<string> {
  return new Set([...open].map((at) => (at === from ? to : at === to ? from : at)));
}

interface FinderProps {
  readonly find: string;
  readonly only: string;
  readonly editable: boolean;
  readonly onFind: (text: string) => void;
  readonly onOnly: (only: string) => void;
}

function Finder({ find, only, editable, onFind, onOnly }: FinderProps): ReactNode {
  return (
    <div className="row filters" role="search">
      <div className="field">
        <label htmlFor="find">Find in this checklist</label>
        <input
          id="find"
          type="search"
          maxLength={80}
          value={find}
          onChange={({ currentTarget }) => onFind(currentTarget.value)}
        />
      </div>
      <div className="field short">
        <label htmlFor="only">Show</label>
        <select id="only" value={only} onChange={({ currentTarget }) => onOnly(currentTarget.value)}>
          <option value="">Every check</option>
          <option value="english">Without Spanish</option>
          {editable ? <option value="faults">With faults</option> : null}
        </select>
      </div>
    </div>
  );
}
