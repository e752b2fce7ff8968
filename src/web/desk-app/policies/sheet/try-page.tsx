import './sheet.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import { useMemo, useState, type ReactNode } from 'react';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { Failing, Loading } from '../../parts/states.js';
import { Caution } from '../../parts/parts.js';
import { useTitle } from '../../parts/title.js';
import { putExample } from './document-edits.js';
import { KeepExample } from './keep-example.js';
import { isOpen } from './sheet-data.js';
import { useSheet } from './sheet-page.js';
import { edit, useWork, type SheetWork } from './sheet-store.js';
import { TryForm } from './try-form.js';
import { TryResult } from './try-result.js';
import { factsOf, typedFrom, type CaseTyped } from './tried-case.js';
import { useTried } from './use-checker.js';

const route = getRouteApi('/policies/$id/$version/try');

/** What was typed last for each version, for as long as the tab is open. */
const typedLast = new Map<string, CaseTyped>();

/** One case through a version as it stands in the sheet, saved or not: what comes out, and why. */
export function TryPage(): ReactNode {
  const { id, version } = route.useParams();
  const { found, key, mayEdit } = useSheet(id, version);
  const work = useWork(key);
  useTitle(`Try a case of ${id}, version ${version}`);
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet noprint">
            <Link to="/policies">Policies</Link> ·{' '}
            <Link to="/policies/$id/$version" params={{ id, version }}>
              The sheet
            </Link>
          </p>
          <h1>Try a case</h1>
          <p>
            {found.data?.title ?? id}, version {version}
            {work?.changed === true ? ', with your changes that are not saved' : ''}
          </p>
        </div>
      </div>
      {work !== undefined && found.data !== undefined && key !== '' ? (
        <Trial key={key} workKey={key} work={work} writable={mayEdit && isOpen(found.data.state)} />
      ) : found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the policy" />
      )}
    </>
  );
}

interface TrialProps {
  readonly workKey: string;
  readonly work: SheetWork;
  readonly writable: boolean;
}

function Trial({ workKey, work, writable }: TrialProps): ReactNode {
  const { document } = work.history.now;
  const { example: wanted } = route.useSearch();
  const [typed, setTyped] = useState<CaseTyped>(() => firstCase(workKey, document, wanted));
  const write = (next: CaseTyped): void => {
    typedLast.set(workKey, next);
    setTyped(next);
  };
  const facts = useMemo(() => factsOf(document, typed.texts), [document, typed.texts]);
  const { on, decision, rule } = typed;
  const tried = useTried({
    kind: 'case',
    document,
    on,
    facts,
    ...(decision === '' ? {} : { decisions: [decision] }),
    ...(rule === '' || decision === '' ? {} : { rule: { decision, rule } }),
  });
  return (
    <>
      <div className="case trial">
        <TryForm document={document} typed={typed} onWrite={write} />
        <div className="stack">
          <TryResult document={document} typed={typed} tried={tried} onWrite={write} />
          {writable && tried?.ok === true ? (
            <KeepExample
              document={document}
              typed={typed}
              given={facts}
              evaluation={tried.evaluation}
              from={wanted}
              onKeep={(example) => {
                const next = putExample(document, example);
                edit(workKey, { ...work.history.now, document: next }, { part: 'examples' });
              }}
            />
          ) : null}
        </div>
      </div>
      <Caution />
    </>
  );
}

function firstCase(key: string, document: PolicyDocument, wanted: string | undefined): CaseTyped {
  const example = document.examples.find(({ id }) => id === wanted);
  if (example !== undefined) return typedFrom(example);
  return (
    typedLast.get(key) ?? { on: todayIn(document.zone), decision: document.decisions[0]?.id ?? '', texts: {}, rule: '' }
  );
}

/** Today where a policy governs; a draft may name a zone that there is not. */
function todayIn(zone: string): string {
  try {
    return Temporal.Now.plainDateISO(zone).toString();
  } catch {
    return Temporal.Now.plainDateISO('UTC').toString();
  }
}
