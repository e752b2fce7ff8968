import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useCallback, useEffect, useMemo, useRef, type ReactNode } from 'react';
import type { PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { showDate } from '../../../domain/time-words.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { useKeys } from '../../keys.js';
import { Caution } from '../../parts/parts.js';
import { differenceOf, rehearseOf, reviewOf } from '../addresses.js';
import { ConcernList } from './concern-list.js';
import { putExample } from './document-edits.js';
import type { EditPlace } from './draft-history.js';
import { concernsOfFaults, concernsOfFindings } from './fault-places.js';
import type { GridHandle } from './grid.js';
import { LeaveGuard } from './leave-guard.js';
import { PartView } from './part-view.js';
import { SaveBar } from './save-bar.js';
import { isOpen, type Version } from './sheet-data.js';
import { partAt, partsOf } from './sheet-parts.js';
import { doAgain, edit, hold, takeBack, type SheetWork } from './sheet-store.js';
import { useChecker } from './use-checker.js';

const route = getRouteApi('/policies/$id/$version');

interface SheetProps {
  readonly workKey: string;
  readonly version: Version;
  readonly work: SheetWork;
  readonly mayEdit: boolean;
}

/** A version's parts one at a time, and beneath them what the check says of all. */
export function Sheet({ workKey, version, work, mayEdit }: SheetProps): ReactNode {
  const draft = work.history.now;
  const { document } = draft;
  const writable = mayEdit && isOpen(version.state);
  const part = partAt(document, route.useSearch().part);
  const { grid, goTo } = useJumps(part);
  const checked = useChecker(document);
  const { faults, examined } = checked;
  const concerns = useMemo(() => {
    if (faults === undefined) return [];
    if (faults.length > 0) return concernsOfFaults(document, faults);
    return concernsOfFindings(document, examined?.findings ?? []);
  }, [document, faults, examined]);
  const unread = concerns.filter(({ weight }) => weight === 'unread').length;

  const latest = useRef(draft);
  latest.current = draft;
  const write = useCallback(
    (next: PolicyDocument, place: EditPlace = { part }): void =>
      edit(workKey, { ...latest.current, document: next }, place),
    [workKey, part],
  );
  const keepExample = useCallback(
    (example: PolicyExample): void => write(putExample(latest.current.document, example), { part: 'examples' }),
    [write],
  );
  const typing = useCallback((is: boolean): void => hold(workKey, is), [workKey]);
  const history = useHistoryKeys(workKey, writable, goTo);
  const params = { id: version.code, version: String(version.version) };
  const navigate = useNavigate();
  useKeys({
    r: () => void navigate({ to: rehearseOf(version.code, version.version) }),
    t: () => void navigate({ to: '/policies/$id/$version/try', params }),
  });
  return (
    <div className="policy-sheet">
      <LeaveGuard changed={work.changed && writable} home={`/policies/${version.code}/${version.version}`} />
      <Head version={version} title={document.title} />
      <SaveBar
        workKey={workKey}
        version={version}
        work={work}
        mayEdit={mayEdit}
        unread={unread}
        onUndo={history.undo}
        onRedo={history.redo}
      />
      <Parts document={document} part={part} counts={countsOf(concerns)} />
      <section className="sheet stack" id="part" aria-labelledby="part-title">
        <PartView
          part={part}
          draft={draft}
          version={version.version}
          checked={checked}
          concerns={concerns}
          grid={grid}
          onGo={goTo}
          onTyping={typing}
          {...(writable
            ? { onWrite: write, onDraft: (next) => edit(workKey, next, { part }), onExample: keepExample }
            : {})}
        />
      </section>
      <ConcernList
        document={document}
        concerns={concerns}
        more={unread === 0 ? (examined?.more ?? []) : []}
        behind={checked.behind && unread === 0}
        onGo={goTo}
        onExample={writable ? keepExample : undefined}
      />
      <Caution />
    </div>
  );
}

/** Leads to a place of the sheet: its part is shown, and its cell takes the focus. */
function useJumps(part: string) {
  const navigate = useNavigate();
  const grid = useRef<GridHandle>(null);
  const wanted = useRef<EditPlace>(undefined);
  const arrive = useCallback((): void => {
    const place = wanted.current;
    wanted.current = undefined;
    if (place === undefined) return;
    if (grid.current !== null && place.row !== undefined)
      return grid.current.go({ row: place.row, column: place.column ?? 0 });
    globalThis.document.getElementById('part-title')?.focus();
  }, []);
  const goTo = useCallback(
    (place: EditPlace): void => {
      wanted.current = place;
      if (place.part === part || place.part === '') return arrive();
      void navigate({ to: '.', search: { part: place.part } });
    },
    [part, arrive, navigate],
  );
  useEffect(() => arrive(), [part, arrive]);
  return { grid, goTo };
}

/** Ctrl+Z and Ctrl+Y on the sheet; inside a field they stay the browser's. */
function useHistoryKeys(workKey: string, writable: boolean, goTo: (place: EditPlace) => void) {
  const step = (way: typeof takeBack) => (): void => {
    const place = way(workKey);
    if (place !== undefined && place.part !== '') goTo(place);
  };
  const [undo, redo] = [step(takeBack), step(doAgain)];
  const latest = useRef({ undo, redo });
  latest.current = { undo, redo };
  useEffect(() => {
    if (!writable) return undefined;
    const press = (event: KeyboardEvent): void => {
      const field = event.target instanceof HTMLElement && /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName);
      if (field || !(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      if (key !== 'z' && key !== 'y') return;
      event.preventDefault();
      if (key === 'y' || event.shiftKey) latest.current.redo();
      else latest.current.undo();
    };
    globalThis.document.addEventListener('keydown', press);
    return () => globalThis.document.removeEventListener('keydown', press);
  }, [writable]);
  return { undo, redo };
}

/** What is next for a version on the page where it is reviewed. */
const REVIEW: Readonly<Partial<Record<Version['state'], string>>> = {
  draft: 'Propose it',
  proposed: 'Approve or send back',
  approved: 'Publish it',
};

function Head({ version, title }: { readonly version: Version; readonly title: string }): ReactNode {
  const params = { id: version.code, version: String(version.version) };
  return (
    <div className="head">
      <div>
        <p className="quiet noprint">
          <Link to="/policies">Policies</Link> ·{' '}
          <Link to="/policies/$id" params={params}>
            {version.code}
          </Link>
        </p>
        <h1>{title}</h1>
        <p>
          Version {version.version} · {sentenceCase(version.state)} · to hold from {showDate(version.effectiveFrom)}
        </p>
      </div>
      <p className="row noprint">
        <Link className="button" to="/policies/$id/$version/try" params={params}>
          Try a case <kbd>t</kbd>
        </Link>
        <Link className="button" to={differenceOf(version.code, version.version)}>
          Difference
        </Link>
        <Link className="button" to={rehearseOf(version.code, version.version)}>
          Rehearse <kbd>r</kbd>
        </Link>
        <Link className="button" to={reviewOf(version.code, version.version)}>
          {REVIEW[version.state] ?? 'Review'}
        </Link>
      </p>
    </div>
  );
}

function countsOf(concerns: ReturnType<typeof concernsOfFaults>): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const { place, weight } of concerns)
    if (weight !== 'information') counts.set(place.part, (counts.get(place.part) ?? 0) + 1);
  return counts;
}

function Parts({
  document,
  part,
  counts,
}: {
  readonly document: PolicyDocument;
  readonly part: string;
  readonly counts: ReadonlyMap<string, number>;
}): ReactNode {
  return (
    <nav className="views" aria-label="Parts of the policy">
      {partsOf(document).map(([each, says]) => (
        <Link
          key={each}
          to="."
          search={{ part: each }}
          activeProps={{}}
          {...(each === part ? { 'aria-current': 'page' as const } : { 'aria-current': undefined })}
        >
          {says}
          {counts.has(each) ? (
            <span className="bad">
              {counts.get(each)}
              <span className="away"> to look at</span>
            </span>
          ) : null}
        </Link>
      ))}
    </nav>
  );
}
