import { useMemo, type ReactNode } from 'react';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { modelDifference } from '../../../diagnosis/study.contract.js';
import { useModelDocument } from '../api/models.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { ChangeTable } from './change-table.js';
import type { PartProps } from './model-page.js';
import { withoutLearnt } from './use-model-draft.js';

/** What differs from another version: from the one in force where nothing else is chosen. */
export function ChangesPart({ data, draft, at, go }: PartProps): ReactNode {
  const { line, inForce, others } = data;
  const before = others.find(({ version, state }) => version < line.version && state === 'published')?.version;
  const choices = others.filter(({ version }) => version !== line.version);
  const wanted = choices.find(({ version }) => String(version) === at.against)?.version ?? inForce?.version ?? before;
  const known = wanted !== undefined && wanted === inForce?.version ? inForce.document : undefined;
  const fetched = useModelDocument(line.code, known === undefined ? wanted : undefined);
  const other = known ?? fetched.data;
  // What is no number yet is shown as it is typed.
  const typed = draft.typed as EvidenceModel;
  const changes = useMemo(
    () => (other === undefined ? [] : withoutLearnt(modelDifference(other, typed))),
    [other, typed],
  );
  if (choices.length === 0)
    return <Empty>This is the only version, so that there is nothing to compare it with.</Empty>;
  return (
    <section className="sheet stack" aria-labelledby="changes-title">
      <h2 id="changes-title">What changed</h2>
      <div className="row filters">
        <Pick
          id="against"
          label="Compared with"
          value={String(wanted ?? '')}
          onPick={(against) => go({ against })}
          options={choices.map(({ version, state }) => {
            const says = version === inForce?.version ? 'in force' : state;
            return [String(version), `version ${version}, ${says}`] as const;
          })}
        />
        {draft.unsaved.length > 0 ? <p className="small quiet">What is typed and not saved counts as well.</p> : null}
      </div>
      {fetched.isError ? <Failing trouble={fetched.error} again={() => void fetched.refetch()} /> : null}
      {other === undefined && !fetched.isError ? <Loading what="the other version" /> : null}
      {other !== undefined && changes.length === 0 ? <Empty>Not one number or word differs.</Empty> : null}
      {other !== undefined && changes.length > 0 ? (
        <ChangeTable
          caption={`What version ${line.version} has otherwise than version ${wanted ?? ''}`}
          changes={changes}
          from={other}
          to={typed}
        />
      ) : null}
      {other === undefined ? null : (
        <p className="small quiet">How the two meet the same decided claims is on the part “Decided claims”.</p>
      )}
    </section>
  );
}
