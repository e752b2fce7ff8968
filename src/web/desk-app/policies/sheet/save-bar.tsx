import type { ReactNode } from 'react';
import { count } from '../../../domain/time-words.js';
import { TroubleNote } from '../../parts/fields.js';
import { Note, Time } from '../../parts/parts.js';
import { changeWords } from './merge-drafts.js';
import { isOpen, type Version } from './sheet-data.js';
import { discard, dismiss, type SheetWork } from './sheet-store.js';
import { useBegin, useSave } from './use-save.js';

interface BarProps {
  readonly workKey: string;
  readonly version: Version;
  readonly work: SheetWork;
  readonly mayEdit: boolean;
  /** How many things cannot be read. */
  readonly unread: number;
  readonly onUndo: () => void;
  readonly onRedo: () => void;
}

/** Where one's work stands, and what can be done with it as a whole. */
export function SaveBar(props: BarProps): ReactNode {
  if (!props.mayEdit) return <p className="quiet">You can read this sheet; policy owners write it.</p>;
  return isOpen(props.version.state) ? <OpenBar {...props} /> : <ClosedBar {...props} />;
}

function OpenBar({ workKey, version, work, unread, onUndo, onRedo }: BarProps): ReactNode {
  const { run, running, trouble } = useSave(workKey, version, work);
  const { history, changed, unkept } = work;
  const overtaken = trouble?.code === 'version-changed';
  return (
    <div className="savebar">
      <div className="row">
        <button type="button" className="go" disabled={!changed || running} onClick={() => unread === 0 && run()}>
          {running ? 'Saving…' : 'Save the draft'}
        </button>
        <button type="button" disabled={history.past.length === 0} onClick={onUndo}>
          Undo
        </button>
        <button type="button" disabled={history.undone.length === 0} onClick={onRedo}>
          Redo
        </button>
        {changed ? (
          <button type="button" className="no" onClick={() => discard(workKey)}>
            Put all changes away
          </button>
        ) : null}
        <p role="status" className="small">
          {standing(changed, unread, unkept)}
        </p>
      </div>
      {changed && version.state !== 'draft' ? (
        <Note tone="warn">
          <p>
            This version is {version.state}. Saving makes it a draft again, and what was said of it before no longer
            counts.
          </p>
        </Note>
      ) : null}
      {overtaken ? null : <TroubleNote trouble={trouble} />}
      <Restored workKey={workKey} work={work} />
      <Overtaken workKey={workKey} work={work} />
    </div>
  );
}

function standing(changed: boolean, unread: number, unkept: boolean): string {
  if (!changed) return 'Everything is saved.';
  if (unkept) return 'Not saved, and this browser has no room to keep it: save before you leave.';
  if (unread > 0) return `Not saved: ${count(unread, 'thing')} cannot be read. It is kept in this browser.`;
  return 'Not saved yet. It is kept in this browser.';
}

function Restored({ workKey, work }: Pick<BarProps, 'workKey' | 'work'>): ReactNode {
  if (work.restoredFrom === undefined) return null;
  return (
    <Note tone="info">
      <p>
        What you had not saved on <Time at={work.restoredFrom} /> is back.{' '}
        <button type="button" className="linklike" onClick={() => dismiss(workKey)}>
          Good
        </button>
      </p>
    </Note>
  );
}

/** Somebody else saved meanwhile: what they changed, and where both wrote. */
function Overtaken({ workKey, work }: Pick<BarProps, 'workKey' | 'work'>): ReactNode {
  if (work.merged === undefined) return null;
  const { theirs, both } = work.merged;
  return (
    <div role="alert">
      <Note tone="warn" title="Somebody else saved this version meanwhile.">
        <p>
          {work.changed
            ? 'What you wrote stands on top of it and is not saved yet. Look at what they changed, then save.'
            : 'What you wrote is saved on top of it. This is what they changed:'}
        </p>
        <ul>
          {theirs.map((change) => (
            <li key={changeWords(change)}>{changeWords(change)}</li>
          ))}
        </ul>
        {both.length === 0 ? (
          <p>None of it is where you wrote.</p>
        ) : (
          <>
            <p>
              <strong>Both of you wrote here; the sheet has yours:</strong>
            </p>
            <ul>
              {both.map(({ path, becomes, theirs: other }) => (
                <li key={path.join(' ')}>{changeWords({ path, was: other, becomes })} (theirs, yours)</li>
              ))}
            </ul>
          </>
        )}
        <button type="button" onClick={() => dismiss(workKey)}>
          I have seen it
        </button>
      </Note>
    </div>
  );
}

function ClosedBar({ workKey, version, work }: BarProps): ReactNode {
  const { run, running, trouble } = useBegin(workKey, version, work.history.now);
  return (
    <div className="savebar">
      <div className="row">
        <button type="button" className="go" disabled={running} onClick={run}>
          {running ? 'Writing…' : 'Write a new version from this one'}
        </button>
        <p className="small">This version is {version.state} and stays as it is.</p>
      </div>
      <TroubleNote trouble={trouble} />
    </div>
  );
}
