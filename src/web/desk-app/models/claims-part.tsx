import { useState, type ReactNode } from 'react';
import type { ModelComparison, ModelReport } from '../../../diagnosis/learning.contract.js';
import { useModelReport, type ReportWish } from '../api/models.js';
import { Pick } from '../parts/pick.js';
import { Failing, Loading } from '../parts/states.js';
import { ComparisonSheet } from './comparison-sheet.js';
import { LearnForm } from './learn-form.js';
import type { PartProps } from './model-page.js';
import { ReportSheets } from './report-sheets.js';

/** How a version meets decided claims, alone or beside another one, and learning from them. */
export function ClaimsPart({ data, draft }: PartProps): ReactNode {
  const { line, inForce, bars, others, today } = data;
  const [wish, setWish] = useState<ReportWish>({
    challenger: inForce === null ? '' : String(inForce.version),
    policy: bars[0]?.policy ?? '',
    from: '',
    until: '',
  });
  const found = useModelReport(line.code, line.version, wish, today);
  const set = (change: Partial<ReportWish>): void => setWish((now) => ({ ...now, ...change }));
  return (
    <div className="stack">
      <section className="sheet stack" aria-labelledby="claims-title">
        <h2 id="claims-title">How version {line.version} meets decided claims</h2>
        <p className="quiet">
          A case is one damaged thing of one decided claim: what the version would have said, beside what the decision
          settled.
        </p>
        <div className="row filters">
          <Pick
            id="challenger"
            label="Beside"
            value={wish.challenger}
            onPick={(challenger) => set({ challenger })}
            options={[
              ['', 'no other version'],
              ...others
                .filter(({ version }) => version !== line.version)
                .map(
                  ({ version, state }) =>
                    [
                      String(version),
                      `version ${version}, ${version === inForce?.version ? 'in force' : state}`,
                    ] as const,
                ),
            ]}
          />
          <Pick
            id="policy"
            label="Bar of the policy"
            value={wish.policy}
            onPick={(policy) => set({ policy })}
            options={[['', 'none'], ...bars.map(({ policy, title }) => [policy, title] as const)]}
          />
          <Day id="from" label="Decided from" value={wish.from} onPick={(from) => set({ from })} />
          <Day id="until" label="until" value={wish.until} onPick={(until) => set({ until })} />
        </div>
        {draft.unsaved.length > 0 ? (
          <p className="small quiet">The report is about what is saved; what is typed does not count yet.</p>
        ) : null}
        {found.isPending ? <Loading what="the report" /> : null}
        {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      </section>
      {found.data === undefined ? null : <Figures of={found.data} code={line.code} />}
      {data.rights.edit ? <LearnForm data={data} /> : null}
    </div>
  );
}

function Figures({ of, code }: { readonly of: ModelReport | ModelComparison; readonly code: string }): ReactNode {
  if (of.format === 'evidence-report/1') return <ReportSheets report={of} code={code} />;
  return (
    <>
      <ComparisonSheet comparison={of} />
      <ReportSheets report={of.champion} code={code} />
    </>
  );
}

interface DayProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly onPick: (value: string) => void;
}

function Day({ id, label, value, onPick }: DayProps): ReactNode {
  return (
    <div className="field short">
      <label htmlFor={id}>{label}</label>
      <input id={id} type="date" value={value} onChange={(event) => onPick(event.currentTarget.value)} />
    </div>
  );
}
