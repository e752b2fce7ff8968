import './models.css';
import { Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { ModelLine, ModelRights, ModelVersionLine } from '../../domain/desk-models.js';
import { count, showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useModelDocument, useModels, useNewDraft } from '../api/models.js';
import { TroubleNote } from '../parts/fields.js';
import { Facts, Mark, Time } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';

/** Every evidence model: what is in force, what is drafted, and what waits for a second person. */
export function ModelsPage(): ReactNode {
  const found = useModels();
  useTitle('Evidence models');
  return (
    <>
      <div className="head">
        <div>
          <h1>Evidence models</h1>
          <p className="quiet">
            How strongly each sign speaks for each explanation of damage. A published version never changes; the newest
            one that has begun is taken for every assessment from then on.
          </p>
        </div>
      </div>
      {found.isPending ? <Loading what="the evidence models" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data?.models.length === 0 ? (
        <Empty>
          There is no evidence model yet. Without one no claim can be assessed; an administrator loads those that come
          with the service, or a policy owner writes one through the interface.
        </Empty>
      ) : null}
      {found.data?.models.map((model) => (
        <ModelSheet key={model.code} model={model} rights={found.data.rights} />
      ))}
    </>
  );
}

function ModelSheet({ model, rights }: { readonly model: ModelLine; readonly rights: ModelRights }): ReactNode {
  const { code, versions, inForce } = model;
  const held = versions.find(({ version }) => version === inForce);
  const drafts = versions.filter(({ state }) => state === 'draft');
  const published = versions.filter(({ state, version }) => state === 'published' && version !== inForce);
  const coming = published.filter(({ version }) => inForce === null || version > inForce);
  const past = published.filter((line) => !coming.includes(line));
  return (
    <section className="sheet stack" aria-labelledby={`model-${code}`}>
      <div className="row spread">
        <h2 id={`model-${code}`}>{versions[0]?.title ?? code}</h2>
        {drafts.length === 0 ? null : (
          <Mark shape="ring" tone="info" says={`${count(drafts.length, 'draft')} in hand`} />
        )}
      </div>
      <Facts
        of={[
          ['Kind of unit', sentenceCase(model.family)],
          [
            'Holds',
            `${count(model.explanations, 'explanation')}, ${count(model.observations, 'sign')}; the code is ${code}`,
          ],
          ['Its numbers are', sentenceCase(model.basis)],
          ['In force', held === undefined ? 'None: no version is published' : <InForce key="held" line={held} />],
        ]}
      />
      {drafts.length === 0 ? null : <Versions caption="Drafts" lines={drafts} rights={rights} />}
      {coming.length === 0 ? null : <Versions caption="Published, to begin later" lines={coming} rights={rights} />}
      {past.length === 0 ? null : (
        <details>
          <summary>Earlier versions ({past.length})</summary>
          <Versions caption="Versions that were in force" lines={past} rights={rights} />
        </details>
      )}
      {rights.edit && inForce !== null ? <Begin code={code} version={inForce} /> : null}
    </section>
  );
}

function InForce({ line }: { readonly line: ModelVersionLine }): ReactNode {
  return (
    <>
      <VersionLink line={line} /> since{' '}
      {line.effectiveFrom !== null ? (
        showDate(line.effectiveFrom)
      ) : line.publishedAt === null ? (
        '–'
      ) : (
        <Time at={line.publishedAt} />
      )}
      {line.publishedBy === null ? '' : `, published by ${line.publishedBy}`}
    </>
  );
}

function VersionLink({ line: { code, version } }: { readonly line: ModelVersionLine }): ReactNode {
  return (
    <Link
      className="number"
      to="/models/$id/$version"
      params={{ id: code, version: String(version) }}
      aria-label={`${code}, version ${version}`}
    >
      Version {version}
    </Link>
  );
}

interface VersionsProps {
  readonly caption: string;
  readonly lines: readonly ModelVersionLine[];
  readonly rights: ModelRights;
}

function Versions({ caption, lines, rights }: VersionsProps): ReactNode {
  return (
    <table className="cards">
      <caption>{caption}</caption>
      <thead>
        <tr>
          <th scope="col">Version</th>
          <th scope="col">State</th>
          <th scope="col">Written</th>
          <th scope="col">Published</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <tr key={line.version}>
            <th scope="row">
              <VersionLink line={line} />
            </th>
            <td>
              <StateOf line={line} rights={rights} />
            </td>
            <td data-label="Written">
              <Time at={line.createdAt} />
              {line.createdBy === null ? null : <span className="sub">by {line.own ? 'you' : line.createdBy}</span>}
            </td>
            <td data-label="Published">
              {line.publishedAt === null ? '–' : <Time at={line.publishedAt} />}
              {line.publishedBy === null ? null : <span className="sub">by {line.publishedBy}</span>}
              {line.effectiveFrom === null ? null : <span className="sub">from {showDate(line.effectiveFrom)}</span>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** A draft that somebody else wrote is for the reader to publish, their own for a second person. */
export function StateOf(props: { readonly line: ModelVersionLine; readonly rights: ModelRights }): ReactNode {
  const { line, rights } = props;
  if (line.state === 'published') return <Mark shape="square" tone="ok" says="Published" />;
  return (
    <>
      <Mark shape="ring" tone="plainly" says="Draft" />
      {rights.publish ? <span className="sub">{whoPublishes(line)}</span> : null}
    </>
  );
}

/** A draft that begins from the version in force. */
function Begin({ code, version }: { readonly code: string; readonly version: number }): ReactNode {
  const navigate = useNavigate();
  const document = useModelDocument(code, version);
  const draft = useNewDraft(
    code,
    (fresh) => void navigate({ to: '/models/$id/$version', params: { id: code, version: String(fresh) } }),
  );
  return (
    <div className="stack">
      <TroubleNote trouble={draft.trouble} />
      <p className="row">
        <button
          type="button"
          disabled={draft.running || document.data === undefined}
          onClick={() => (document.data === undefined ? undefined : draft.write(document.data))}
        >
          {draft.running ? 'Writing…' : `New draft from version ${version}`}
        </button>
        <Link
          className="button"
          to="/models/$id/$version"
          params={{ id: code, version: String(version) }}
          search={{ part: 'claims' }}
        >
          How it met decided claims
        </Link>
      </p>
    </div>
  );
}

function whoPublishes({ own, ownChange, changedBy, createdBy }: ModelVersionLine): string {
  if (own) return 'A second policy owner has to publish it';
  if (ownChange) return `You changed it last, so ${createdBy ?? 'its author'} has to look at it and save it first`;
  return changedBy === null
    ? 'You may publish it once you have read it'
    : `Last changed by ${changedBy}; you may publish it`;
}
