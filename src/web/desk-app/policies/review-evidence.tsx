import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { ExampleCoverage, PolicyFinding } from '../../../policies/analysis.contract.js';
import { SEVERITY_MARKS } from '../../domain/policy-marks.js';
import { count, showDay } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { PolicyCheck, ReadVersion, VersionDifference, VersionEvidence } from '../api/policies.js';
import { Facts, Mark, Time } from '../parts/parts.js';
import { MoneyWords } from '../rehearsals/rehearsal-money.js';
import { differenceOf, rehearseOf } from './addresses.js';
import { Regions } from './difference-regions.js';

/** Regions of the difference that stand beside the approval; the page of the difference has all. */
const MOST_REGIONS = 5;

interface EvidenceProps {
  readonly version: ReadVersion;
  readonly evidence: VersionEvidence;
}

/** What an approver has to see of exactly this content: examples, analysis, coverage, difference, rehearsal. */
export function Evidence({ version, evidence }: EvidenceProps): ReactNode {
  const { check, difference } = evidence;
  return (
    <>
      <section className="sheet stack" id="examples">
        <div className="row spread">
          <h2>Examples</h2>
          <ExamplesMark check={check} />
        </div>
        <Failed check={check} />
        {check.coverage === undefined ? null : <Coverage coverage={check.coverage} />}
      </section>
      <Findings check={check} />
      <section className="sheet stack" id="difference">
        <h2>Difference</h2>
        <p>{differenceWords(difference)}</p>
        <Regions changes={(difference.difference?.changes ?? []).slice(0, MOST_REGIONS)} />
        <p>
          <Link to={differenceOf(version.code, version.version)}>All of it, rule by rule</Link>
        </p>
      </section>
      <Rehearsed version={version} evidence={evidence} />
    </>
  );
}

function ExamplesMark({ check: { examples } }: { readonly check: PolicyCheck }): ReactNode {
  const failing = examples.filter(({ passed }) => !passed).length;
  if (examples.length === 0) return <Mark shape="triangle" tone="warn" says="None" />;
  return failing === 0 ? (
    <Mark shape="tick" tone="ok" says={`All ${examples.length} pass`} />
  ) : (
    <Mark shape="octagon" tone="bad" says={`${failing} of ${examples.length} fail`} />
  );
}

function Failed({ check: { examples } }: { readonly check: PolicyCheck }): ReactNode {
  const failing = examples.filter(({ passed }) => !passed);
  if (failing.length === 0) return null;
  return (
    <ul className="plain kinds-of-case">
      {failing.map(({ id, differences }) => (
        <li key={id}>
          <strong>{id}</strong>
          {differences.map((says) => (
            <p key={says}>{says}</p>
          ))}
        </li>
      ))}
    </ul>
  );
}

function Coverage({ coverage }: { readonly coverage: ExampleCoverage }): ReactNode {
  const untried = coverage.decisions.flatMap(({ decision, neverHit }) => neverHit.map((rule) => `${decision} ${rule}`));
  return (
    <>
      <Facts
        of={[
          ['Rules that some example tries', `${coverage.rulesPercent} %`],
          ['Ends of columns with examples on both sides', `${coverage.boundariesPercent} %`],
        ]}
      />
      {untried.length === 0 ? null : (
        <details>
          <summary>{count(untried.length, 'rule')} that no example tries</summary>
          <ul>
            {untried.map((rule) => (
              <li key={rule}>
                <code>{rule}</code>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function Findings({ check }: { readonly check: PolicyCheck }): ReactNode {
  const findings = check.analysis?.findings ?? [];
  const grave = findings.filter(({ severity }) => severity !== 'information');
  const others = findings.filter(({ severity }) => severity === 'information');
  return (
    <section className="sheet stack" id="findings">
      <div className="row spread">
        <h2>Analysis</h2>
        {check.faults.length > 0 ? (
          <Mark shape="octagon" tone="bad" says="It cannot run" />
        ) : check.analysis?.clean === true ? (
          <Mark shape="tick" tone="ok" says="Clean" />
        ) : (
          <Mark shape="triangle" tone="warn" says={count(grave.length, 'finding')} />
        )}
      </div>
      {check.faults.map(({ pointer, detail }) => (
        <p key={`${pointer} ${detail}`}>
          {detail} <span className="hash">{pointer}</span>
        </p>
      ))}
      <FindingList findings={grave} />
      {others.length === 0 ? null : (
        <details>
          <summary>{others.length} for information</summary>
          <FindingList findings={others} />
        </details>
      )}
      {(check.analysis?.more ?? []).map(({ decision, kind, atLeast }) => (
        <p key={`${decision} ${kind}`} className="quiet">
          {sentenceCase(decision)}: at least {atLeast} more of “{kind}”.
        </p>
      ))}
    </section>
  );
}

function FindingList({ findings }: { readonly findings: readonly PolicyFinding[] }): ReactNode {
  if (findings.length === 0) return null;
  return (
    <ul className="plain kinds-of-case">
      {findings.map((finding) => (
        <li key={`${finding.kind} ${finding.decision ?? ''} ${finding.detail}`}>
          <Mark {...SEVERITY_MARKS[finding.severity]} />
          <p>{finding.detail}</p>
          <p className="quiet">
            {[
              finding.example === undefined ? '' : `Example: ${finding.example.words}.`,
              finding.recentClaims === undefined
                ? ''
                : `${count(finding.recentClaims, 'claim')} of the last year lie there.`,
            ]
              .filter((says) => says !== '')
              .join(' ')}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** One sentence on how two versions compare. */
export function differenceWords({ was, same, difference }: VersionDifference): string {
  if (was === undefined) return 'No version is in force, so that there is nothing to compare with.';
  if (same) return `It says what version ${was.version} says, word for word.`;
  const changes = difference?.changes.length ?? 0;
  const looked = difference?.claims;
  const over =
    looked === undefined || looked.lookedAt === 0
      ? ''
      : ` Counted over ${count(looked.lookedAt, 'claim')} since ${showDay(looked.since)}.`;
  const where =
    changes === 0
      ? 'It decides every case alike'
      : `It decides otherwise in ${count(changes, 'kind of case', 'kinds of case')}`;
  return `${where}, compared with version ${was.version}.${over}`;
}

function Rehearsed({ version, evidence }: EvidenceProps): ReactNode {
  const { rehearsal, pastClaims } = evidence;
  return (
    <section className="sheet stack" id="rehearsed">
      <h2>Rehearsal</h2>
      {rehearsal?.result === undefined ? (
        <p>
          {pastClaims ? 'It has not been rehearsed on past claims yet.' : 'There are no past claims to rehearse it on.'}
        </p>
      ) : (
        <>
          <p>
            {rehearsal.result.changed} of {count(rehearsal.result.claims, 'claim')} come out otherwise
            {rehearsal.finishedAt === undefined ? null : (
              <>
                {' '}
                (<Time at={rehearsal.finishedAt} />)
              </>
            )}
            .
          </p>
          <MoneyWords money={rehearsal.result.money} />
          <p>
            <Link to="/rehearsals/$id" params={{ id: rehearsal.id }}>
              Which claims, by how much, for whom
            </Link>
          </p>
        </>
      )}
      <p>
        <Link to={rehearseOf(version.code, version.version)}>Rehearse it</Link>
      </p>
    </section>
  );
}
