import './models.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useCallback, useEffect, useState, type ReactNode } from 'react';
import type { ModelData } from '../../domain/desk-models.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useModel } from '../api/models.js';
import { useKeys } from '../keys.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { ChangesPart } from './changes-part.js';
import { ClaimsPart } from './claims-part.js';
import { ExplanationsPart } from './explanations-part.js';
import { ModelActs } from './model-acts.js';
import { controlAt } from './number-cell.js';
import { SaveBar } from './save-bar.js';
import { SignsPart } from './signs-part.js';
import { StateOf } from './models-page.js';
import { StudyPart } from './study-part.js';
import { TablePart } from './table-part.js';
import { TryPart } from './try-part.js';
import { useModelDraft, type ModelDraft } from './use-model-draft.js';

const route = getRouteApi('/models/$id/$version');

/** Parts of the page in the order in which a number comes about and is looked at. */
const PARTS = [
  ['explanations', 'Explanations'],
  ['signs', 'Signs'],
  ['table', 'Signs by explanations'],
  ['try', 'Try it'],
  ['study', 'What it tells apart'],
  ['claims', 'Decided claims'],
  ['changes', 'What changed'],
] as const;
type Part = (typeof PARTS)[number][0];

/** What every part of the page is given. */
export interface PartProps {
  readonly data: ModelData;
  readonly draft: ModelDraft;
  /** What the address says beside the part. */
  readonly at: ModelSearch;
  readonly go: (search: ModelSearch) => void;
}

export interface ModelSearch {
  readonly part?: string;
  readonly sign?: string;
  readonly subject?: string;
  readonly find?: string;
  readonly against?: string;
}

/** One version of an evidence model: read, tried, scored on decided claims and, while it is a draft, changed. */
export function ModelPage(): ReactNode {
  const { id, version } = route.useParams();
  const found = useModel(id, version);
  const { data: onlooker } = useOnlooker();
  useTitle(found.data === undefined ? 'Evidence model' : `${found.data.line.title}, version ${version}`);
  if (found.data !== undefined && onlooker !== undefined)
    return <Version key={`${id}/${version}`} data={found.data} person={onlooker.id} />;
  return (
    <>
      <h1>Evidence model</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the evidence model" />
      )}
    </>
  );
}

function Version({ data, person }: { readonly data: ModelData; readonly person: string }): ReactNode {
  const at = route.useSearch();
  const navigate = useNavigate();
  const draft = useModelDraft(data, person);
  const { line } = data;
  const part = PARTS.find(([name]) => name === at.part)?.[0] ?? 'explanations';
  const go = useCallback(
    (search: ModelSearch) =>
      void navigate({
        to: '/models/$id/$version',
        params: { id: line.code, version: String(line.version) },
        search: (before) => ({ ...before, ...search }),
        replace: true,
        resetScroll: false,
      }),
    [line.code, line.version, navigate],
  );
  const lead = useLead(go, draft);
  const next = (by: 1 | -1) => () => {
    const place = PARTS.findIndex(([name]) => name === part);
    go({ part: PARTS[(place + by + PARTS.length) % PARTS.length]?.[0] ?? 'explanations' });
  };
  useKeys({ ']': next(1), '[': next(-1) });
  return (
    <div className="model">
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/models">Evidence models</Link>
          </p>
          <h1>{line.title}</h1>
          <p className="row">
            <span>
              {sentenceCase(draft.sound.family)} · <span className="nums">{line.code}</span> · version {line.version}
            </span>
            <StateOf line={line} rights={data.rights} />
          </p>
          <p className="quiet small">
            The numbers are {draft.typed.basis}. They are chances, not rules: a claim is weighed with all of them
            together.
          </p>
        </div>
        <ModelActs data={data} draft={draft} />
      </div>
      {draft.editable ? <SaveBar draft={draft} onLead={lead} /> : null}
      <nav className="views" aria-label="Parts of the model">
        {PARTS.map(([name, says]) => (
          <Link
            key={name}
            to="/models/$id/$version"
            params={{ id: line.code, version: String(line.version) }}
            search={(before) => ({ ...before, part: name })}
            aria-current={name === part ? 'page' : undefined}
            activeProps={{}}
            replace
            resetScroll={false}
          >
            {says}
            {name === 'changes' && draft.editable && draft.unsaved.length > 0 ? (
              <span className="figures">{draft.unsaved.length}</span>
            ) : null}
          </Link>
        ))}
      </nav>
      <PartOf part={part} data={data} draft={draft} at={at} go={go} />
    </div>
  );
}

function PartOf({ part, ...props }: PartProps & { readonly part: Part }): ReactNode {
  switch (part) {
    case 'explanations':
      return <ExplanationsPart {...props} />;
    case 'signs':
      return <SignsPart {...props} />;
    case 'table':
      return <TablePart {...props} />;
    case 'try':
      return <TryPart {...props} />;
    case 'study':
      return <StudyPart {...props} />;
    case 'claims':
      return <ClaimsPart {...props} />;
    case 'changes':
      return <ChangesPart {...props} />;
  }
}

/** Leads to the control that a pointer of a fault names, on whichever part it stands. */
function useLead(go: (search: ModelSearch) => void, draft: ModelDraft): (pointer: string) => void {
  const [wanted, setWanted] = useState<string>();
  useEffect(() => {
    if (wanted === undefined) return;
    const control = document.getElementById(controlAt(wanted)) ?? nearest(wanted);
    if (control === null) return;
    for (let each = control.parentElement; each !== null; each = each.parentElement)
      if (each instanceof HTMLDetailsElement) each.open = true;
    control.focus();
    control.scrollIntoView({ block: 'center' });
    setWanted(undefined);
  });
  return (pointer) => {
    const [, list, index] = pointer.split('/');
    const sign = list === 'observations' ? draft.typed.observations[Number(index)]?.id : undefined;
    go(
      list === 'observations'
        ? { part: 'signs', ...(sign === undefined ? {} : { sign }), find: '' }
        : { part: 'explanations' },
    );
    setWanted(pointer);
  };
}

/** The thing itself where the pointer leads to none of its controls. */
function nearest(pointer: string): HTMLElement | null {
  const [, list = '', index = ''] = pointer.split('/');
  return document.getElementById(controlAt(`#/${list}/${index}`));
}
