import './checklists.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useMemo, type ReactNode } from 'react';
import { sentenceCase } from '../../domain/trade-words.js';
import { TroubleNote } from '../parts/fields.js';
import { Facts, Mark, Note, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { ChecklistBench } from './checklist-bench.js';
import { ChecklistEditor, keptName } from './checklist-editor.js';
import {
  newestOf,
  troubleOf,
  useChecklist,
  useChecklistActs,
  useChecklists,
  useNames,
  type ChecklistLine,
  type ChecklistVersion,
} from './checklists-data.js';
import { MARKS, standingOf } from './standing.js';
import { missingSpanish } from './missing-spanish.js';

const route = getRouteApi('/checklists/$id/$version');

/** One version of a checklist: to be read, changed while it is a draft, seen as a crew sees it, and published. */
export function ChecklistPage(): ReactNode {
  const { id, version } = route.useParams();
  const found = useChecklist(id, Number(version));
  useTitle(found.data === undefined ? 'Checklist' : `${found.data.document.title.en} · Checklists`);
  // Another version is another page: nothing of the one before stays on it.
  if (found.data) return <Version key={`${id}/${version}`} served={found.data} />;
  return (
    <>
      <h1>Checklist</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the checklist" />
      )}
    </>
  );
}

function Version({ served }: { readonly served: ChecklistVersion }): ReactNode {
  const { line, document } = served;
  const { data: onlooker } = useOnlooker();
  const lines = useChecklists().data ?? [];
  const newest = newestOf(lines, line.code);
  const inForce = useChecklist(line.code, newest?.version ?? 0, newest !== undefined);
  const mayWrite = onlooker?.acts.includes('checklist.publish') === true;
  const editable = line.state === 'draft' && mayWrite;
  return (
    <>
      <Head line={line} lines={lines} family={document.family} />
      {line.state === 'draft' && onlooker !== undefined && !mayWrite ? (
        <Note tone="info">
          <p>You can read this draft. Policy owners and administrators change and publish checklists.</p>
        </Note>
      ) : null}
      {line.state === 'published' && mayWrite ? <NewVersion served={served} lines={lines} /> : null}
      {editable ? (
        <ChecklistEditor served={served} inForce={newest === undefined ? undefined : inForce.data} />
      ) : (
        <Reader served={served} />
      )}
    </>
  );
}

function Reader({ served }: { readonly served: ChecklistVersion }): ReactNode {
  const english = useMemo(() => missingSpanish(served.document).length, [served.document]);
  return (
    <>
      <p className="quiet">
        {english === 0
          ? 'Every sentence is there in English and Spanish.'
          : `${english} ${english === 1 ? 'sentence has' : 'sentences have'} no Spanish; crews read the English there.`}
      </p>
      <ChecklistBench checklist={served.document} sound={served.document} faults={[]} editable={false} />
    </>
  );
}

interface HeadProps {
  readonly line: ChecklistLine;
  readonly lines: readonly ChecklistLine[];
  readonly family: string;
}

function Head({ line, lines, family }: HeadProps): ReactNode {
  const names = useNames();
  const standing = standingOf(line, lines);
  const drafts = lines.filter(
    (each) => each.code === line.code && each.state === 'draft' && each.version > line.version,
  );
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/checklists">Checklists</Link>
          </p>
          <h1>{line.title}</h1>
          <p>
            <span className="nums">{line.code}</span> · version {line.version}
          </p>
        </div>
        <Mark {...MARKS[standing]} />
      </div>
      <Facts
        of={[
          ['For', sentenceCase(family)],
          ['Written', <Written key="w" at={line.createdAt} by={line.createdBy} names={names} />],
          [
            'Published',
            line.publishedAt === undefined ? null : (
              <Written key="p" at={line.publishedAt} by={line.publishedBy} names={names} />
            ),
          ],
          [
            'Newer drafts',
            drafts.length === 0
              ? null
              : drafts.map(({ code, version }) => (
                  <Link key={version} to="/checklists/$id/$version" params={{ id: code, version: String(version) }}>
                    Version {version}
                  </Link>
                )),
          ],
        ]}
      />
    </>
  );
}

function Written(props: {
  readonly at: string;
  readonly by: string | undefined;
  readonly names: Readonly<Record<string, string>>;
}): ReactNode {
  const name = props.by === undefined ? 'the service itself' : (props.names[props.by] ?? 'somebody of the house');
  return (
    <>
      <Time at={props.at} /> by {name}
    </>
  );
}

/** From a published version on: a new one, also out of changes that a publication has overtaken. */
function NewVersion({
  served,
  lines,
}: {
  readonly served: ChecklistVersion;
  readonly lines: readonly ChecklistLine[];
}): ReactNode {
  const { drafting } = useChecklistActs();
  const navigate = useNavigate();
  const left = keptChanges(served);
  const draft = lines.findLast(({ code, state }) => code === served.line.code && state === 'draft');
  const write = (document: ChecklistVersion['document']): void =>
    drafting.mutate(
      { document },
      {
        onSuccess: ({ line: { code, version } }) => {
          localStorage.removeItem(keptName(served.line));
          void navigate({ to: '/checklists/$id/$version', params: { id: code, version: String(version) } });
        },
      },
    );
  return (
    <div className="stack begin">
      <TroubleNote trouble={troubleOf(drafting.error)} />
      {left === undefined ? null : (
        <Note tone="warn" title="This version was published while you were changing it.">
          <p>Your changes are still in this browser.</p>
          <button type="button" disabled={drafting.isPending} onClick={() => write(left)}>
            Write them as a new version
          </button>
        </Note>
      )}
      <p className="row">
        <button type="button" disabled={drafting.isPending} onClick={() => write(served.document)}>
          {drafting.isPending ? 'Writing…' : 'Write a new version from this one'}
        </button>
        {draft === undefined ? null : <span className="quiet">There is a draft already: version {draft.version}.</span>}
      </p>
    </div>
  );
}

function keptChanges({ line }: ChecklistVersion): ChecklistVersion['document'] | undefined {
  try {
    const found = JSON.parse(localStorage.getItem(keptName(line)) ?? 'null') as {
      readonly document: ChecklistVersion['document'];
    } | null;
    return found?.document;
  } catch {
    return undefined;
  }
}
