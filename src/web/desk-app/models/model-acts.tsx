import { useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import type { ModelData } from '../../domain/desk-models.js';
import { count, showDate } from '../../domain/time-words.js';
import { modelDifference } from '../../../diagnosis/study.contract.js';
import { useNewDraft, usePublication } from '../api/models.js';
import { Dialog } from '../parts/dialog.js';
import { TextLine, TroubleNote } from '../parts/fields.js';
import { Time } from '../parts/parts.js';
import { withoutLearnt, type ModelDraft } from './use-model-draft.js';

/** What may be done with a version: a draft of it, or its publication by a second person. */
export function ModelActs({ data, draft }: { readonly data: ModelData; readonly draft: ModelDraft }): ReactNode {
  const { line, rights } = data;
  if (line.state === 'published')
    return (
      <div className="modelacts">
        <p className="small quiet">
          {line.publishedAt === null ? null : (
            <>
              Published <Time at={line.publishedAt} />
              {line.publishedBy === null ? '' : ` by ${line.publishedBy}`}.{' '}
            </>
          )}
          {standing(data)}
        </p>
        {rights.edit ? <NewDraft data={data} draft={draft} /> : null}
      </div>
    );
  return (
    <div className="modelacts">
      <p className="small quiet">
        Written <Time at={line.createdAt} />
        {line.createdBy === null ? '' : ` by ${line.own ? 'you' : line.createdBy}`}.
      </p>
      {rights.publish && !line.own && !line.ownChange ? <Publish data={data} draft={draft} /> : null}
    </div>
  );
}

/** Another draft of a published version; changes that came too late for it go along. */
function NewDraft({ data, draft }: { readonly data: ModelData; readonly draft: ModelDraft }): ReactNode {
  const navigate = useNavigate();
  const { code, version } = data.line;
  const { left } = draft;
  const fresh = useNewDraft(code, (number) => {
    draft.putBack();
    void navigate({ to: '/models/$id/$version', params: { id: code, version: String(number) } });
  });
  return (
    <>
      <TroubleNote trouble={fresh.trouble} />
      {left === undefined ? null : (
        <div className="note warn">
          <strong>It was published before you saved.</strong>
          <p>{count(draft.unsaved.length, 'change')} of yours did not go in. They are kept in this browser.</p>
          <p className="row">
            <button type="button" className="go" disabled={fresh.running} onClick={() => fresh.write(left)}>
              New draft with them
            </button>
            <button type="button" onClick={draft.putBack}>
              Drop them
            </button>
          </p>
        </div>
      )}
      {left === undefined ? (
        <button type="button" disabled={fresh.running} onClick={() => fresh.write(data.document)}>
          {fresh.running ? 'Writing…' : `New draft from version ${version}`}
        </button>
      ) : null}
    </>
  );
}

/** Publication names what it does before it is done: the content that was read, and no other. */
function Publish({ data, draft }: { readonly data: ModelData; readonly draft: ModelDraft }): ReactNode {
  const { code, version, createdBy } = data.line;
  const [asked, setAsked] = useState(false);
  const publication = usePublication(code, version);
  const changes =
    data.inForce === null ? 0 : withoutLearnt(modelDifference(data.inForce.document, data.document)).length;
  return (
    <>
      <button type="button" className="go" onClick={() => setAsked(true)}>
        Publish…
      </button>
      <Dialog opened={asked} onClose={() => setAsked(false)} title={`Publish version ${version}`}>
        <div className="stack">
          <p>
            {data.inForce === null
              ? 'No version is in force yet. '
              : `It differs from version ${data.inForce.version}, which is in force, in ${count(changes, 'place')}; the parts “What changed” and “Decided claims” show them and what they do. `}
            From the day on which it begins every claim that is assessed is weighed by it; what was assessed before
            keeps its version. A published version can never be changed, only followed by another.
          </p>
          <p>
            {createdBy === null ? 'It came with the service' : `${createdBy} wrote it`}; you publish exactly what is
            saved now.
          </p>
          {draft.unsaved.length > 0 ? (
            <p className="note warn">
              <strong>You have changes that are not saved.</strong> They are not published. Save them or put them back
              first.
            </p>
          ) : null}
          <TroubleNote trouble={publication.trouble} />
          <form
            className="stack"
            onSubmit={(event) => {
              event.preventDefault();
              const from = new FormData(event.currentTarget).get('effectiveFrom');
              publication.publish(data.edit, typeof from === 'string' ? from : '');
            }}
          >
            <TextLine
              id="publish-from"
              name="effectiveFrom"
              label="It begins on"
              hint="A date at UTC, today at the earliest. Left empty: as soon as it is published."
              type="date"
              short
              trouble={publication.trouble}
            />
            <button className="go" disabled={publication.running || draft.unsaved.length > 0}>
              {publication.running ? 'Publishing…' : 'I have read it: publish it'}
            </button>
          </form>
        </div>
      </Dialog>
    </>
  );
}

/** Whether a published version is in force, begins later, or was followed by another. */
function standing({ line, inForce, today }: ModelData): string {
  if (line.effectiveFrom !== null && line.effectiveFrom > today) return `It begins on ${showDate(line.effectiveFrom)}.`;
  return inForce === null ? 'It is in force.' : `Version ${inForce.version} is in force.`;
}
