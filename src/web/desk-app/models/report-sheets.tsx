import type { ReactNode } from 'react';
import type { Confusion, Kappa, ModelReport, Scores } from '../../../diagnosis/learning.contract.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Chart } from '../parts/chart.js';
import { Facts, Note } from '../parts/parts.js';
import { showInterval, showPercent } from './report-words.js';

/** The report of one version: how often it was right, how honest its chances were, and what it confused with what. */
export function ReportSheets({ report, code }: { readonly report: ModelReport; readonly code: string }): ReactNode {
  const { all, named, lessons, models } = report;
  const version = models[0]?.version ?? 0;
  if (all.cases === 0)
    return (
      <section className="sheet stack">
        <h2>Version {version}</h2>
        <p className="quiet">
          No case can be scored. Of the decided claims of that time {lessons.read === 0 ? 'none' : `${lessons.read}`}{' '}
          could be read for it. A decision settles an explanation where it lets the findings stand or names another one;
          one that reads the evidence otherwise and names none teaches nothing. Choose other dates, or come back when
          claims were decided.
        </p>
      </section>
    );
  return (
    <>
      <section className="sheet stack">
        <h2>Version {version}: how often it is right</h2>
        <Figures of={all} />
        <p className="small quiet">
          {count(lessons.read, 'decided claim')} read, {lessons.used} used, {lessons.named} with explanations that a
          person named.
          {lessons.unknownExplanations > 0 ? ` ${lessons.unknownExplanations} settled explanations are not in it.` : ''}
          {lessons.notOpened > 0 ? ` On ${lessons.notOpened} settled things it opens no finding.` : ''}
        </p>
        <Note tone="info" title="Read it with care">
          <ul>
            {report.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </Note>
      </section>
      <Reliability scores={all} file={`${code}-${version}-reliability`} binning={report.binning} />
      <section className="sheet stack">
        <h2>What it takes for what</h2>
        <ConfusionTable of={all.components} what="component" />
        <ConfusionTable of={all.origins} what="origin" />
        <Agreement of={all} />
      </section>
      {named.cases === 0 ? null : (
        <section className="sheet stack">
          <h2>Only cases whose explanation a person named</h2>
          <Figures of={named} />
        </section>
      )}
    </>
  );
}

function Figures({ of: { cases, accuracy, brier, parts, abstention } }: { readonly of: Scores }): ReactNode {
  return (
    <Facts
      of={[
        ['Cases', String(cases)],
        ['Leading explanation is right', accuracy === null ? undefined : `${showInterval(accuracy)} at 95 % (Wilson)`],
        [
          'Goes to a person',
          abstention === null ? undefined : `${showInterval(abstention.toAPerson)} under the bar of the policy`,
        ],
        [
          'Right when it speaks for itself',
          abstention === null || abstention.rightWhenSettled === null
            ? undefined
            : showInterval(abstention.rightWhenSettled),
        ],
        [
          'Brier score, all explanations',
          brier === null ? undefined : `${brier.allExplanations.toFixed(3)} (0 is best, 2 worst)`,
        ],
        [
          'Brier score, leading one',
          brier === null ? undefined : `${brier.leadingExplanation.toFixed(3)} (0 is best, 1 worst)`,
        ],
        [
          'Its parts (Murphy)',
          parts === null
            ? undefined
            : `reliability ${parts.reliability.toFixed(3)} − resolution ${parts.resolution.toFixed(3)} + uncertainty ${parts.uncertainty.toFixed(3)} + within bins ${parts.withinBins.toFixed(3)}`,
        ],
      ]}
    />
  );
}

/** What was promised beside what came true: equal bars are an honest model. */
function Reliability(props: { readonly scores: Scores; readonly file: string; readonly binning: string }): ReactNode {
  const rows = props.scores.reliability.filter(({ cases }) => cases > 0);
  if (rows.length === 0) return null;
  return (
    <section className="sheet">
      <Chart
        title="Do its chances come true?"
        lead={`Where the model says 80 %, about 80 % should be right. ${props.binning}`}
        kind="bars"
        rowHead="Chance of the leading explanation"
        series={['Came true', 'Said on average']}
        more={['Cases']}
        rows={rows.map(({ from, to, cases, meanForecast, cameTrue }) => ({
          says: `${Math.round(from * 100)} to ${Math.round(to * 100)} %`,
          values: [cameTrue.share, meanForecast],
          between: [cameTrue.low, cameTrue.high],
          more: [cases],
        }))}
        show={showPercent}
        end={1}
        file={props.file}
      />
    </section>
  );
}

function ConfusionTable({ of, what }: { readonly of: Confusion<string>; readonly what: string }): ReactNode {
  const used = of.labels.flatMap((label, index) => {
    const row = of.counts[index] ?? [];
    const some = row.some((n) => n > 0) || of.counts.some((each) => (each[index] ?? 0) > 0);
    return some ? [{ label, index }] : [];
  });
  if (used.length === 0) return null;
  const caption = `By ${what}: settled down, proposed across; on the diagonal both agree`;
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label={caption}>
      <table className="confusion">
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Settled as</th>
            {used.map(({ label }) => (
              <th key={label} scope="col" className="amount">
                {sentenceCase(label)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {used.map(({ label, index }) => (
            <tr key={label}>
              <th scope="row">{sentenceCase(label)}</th>
              {used.map(({ label: other, index: column }) => {
                const n = of.counts[index]?.[column] ?? 0;
                return (
                  <td key={other} className={column === index ? 'amount right' : n > 0 ? 'amount missed' : 'amount'}>
                    {n === 0 ? '·' : n}
                    {n > 0 && column !== index ? <span className="away"> taken for {other}</span> : null}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Agreement({ of: { kappa } }: { readonly of: Scores }): ReactNode {
  const says = (each: Kappa | null): string =>
    each === null
      ? 'cannot be said: every case is of one class'
      : `${each.kappa.toFixed(2)} (${each.low.toFixed(2)} to ${each.high.toFixed(2)})`;
  return (
    <Facts
      of={[
        ['Agreement beyond chance (Cohen’s kappa), explanations', says(kappa.explanations)],
        ['components', says(kappa.components)],
        ['origins', says(kappa.origins)],
      ]}
    />
  );
}
