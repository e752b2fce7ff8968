import './checklists.css';
import { Link, useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import type { Checklist } from '../../../inspections/inspections.contract.js';
import { FAMILIES, type Family } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Trouble } from '../api/http.js';
import { Choose, TextLine, TroubleNote } from '../parts/fields.js';
import { Mark, Time } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { beginningOf } from './checklist-edits.js';
import { troubleOf, useChecklistActs, useChecklists, useNames, type ChecklistLine } from './checklists-data.js';
import { MARKS, standingOf } from './standing.js';

/** Every checklist with its versions: what is in force, what is being written, what was before. */
export function ChecklistsPage(): ReactNode {
  const found = useChecklists();
  const { data: onlooker } = useOnlooker();
  useTitle('Checklists');
  const lines = found.data ?? [];
  const codes = [...new Set(lines.map(({ code }) => code))];
  return (
    <>
      <div className="head">
        <h1>Checklists</h1>
      </div>
      <p className="lead">What crews go through at the door, check by check, in English and Spanish.</p>
      {found.isPending ? <Loading what="the checklists" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && codes.length === 0 ? (
        <Empty>There is no checklist yet. Write the first below; crews need one that is published.</Empty>
      ) : null}
      {codes.map((code) => (
        <Versions key={code} code={code} lines={lines} />
      ))}
      {onlooker?.acts.includes('checklist.publish') === true && found.data ? <NewChecklist taken={codes} /> : null}
    </>
  );
}

function Versions({ code, lines }: { readonly code: string; readonly lines: readonly ChecklistLine[] }): ReactNode {
  const names = useNames();
  const own = lines.filter((line) => line.code === code).toReversed();
  const title = (own.find(({ state }) => state === 'published') ?? own[0])?.title;
  return (
    <section className="sheet stack">
      <h2>
        {title} <span className="sub nums">{code}</span>
      </h2>
      <table className="cards">
        <caption className="away">Versions of {title}</caption>
        <thead>
          <tr>
            <th scope="col">Version</th>
            <th scope="col">State</th>
            <th scope="col">Written</th>
            <th scope="col">Published</th>
          </tr>
        </thead>
        <tbody>
          {own.map((line) => (
            <tr key={line.version}>
              <th scope="row">
                <Link to="/checklists/$id/$version" params={{ id: code, version: String(line.version) }}>
                  Version {line.version}
                </Link>
              </th>
              <td>
                <Mark {...MARKS[standingOf(line, lines)]} />
              </td>
              <td data-label="Written">
                <Time at={line.createdAt} />
                <span className="sub">{nameOf(line.createdBy, names)}</span>
              </td>
              <td data-label="Published">
                {line.publishedAt === undefined ? (
                  '–'
                ) : (
                  <>
                    <Time at={line.publishedAt} />
                    <span className="sub">{nameOf(line.publishedBy, names)}</span>
                  </>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function nameOf(id: string | undefined, names: Readonly<Record<string, string>>): string {
  return id === undefined ? 'The service itself' : (names[id] ?? 'Somebody of the house');
}

const CODE = /^[a-z][a-z0-9]*(?:-[a-z0-9]+)*$/;

function NewChecklist({ taken }: { readonly taken: readonly string[] }): ReactNode {
  const { drafting } = useChecklistActs();
  const navigate = useNavigate();
  const [mistyped, setMistyped] = useState<Trouble>();
  const trouble = mistyped ?? troubleOf(drafting.error);
  const begin = (form: FormData): void => {
    const read = readBeginning(form, taken);
    setMistyped(read instanceof Trouble ? read : undefined);
    if (read instanceof Trouble) return;
    drafting.mutate(
      { document: read },
      {
        onSuccess: ({ line: { code, version } }) =>
          void navigate({ to: '/checklists/$id/$version', params: { id: code, version: String(version) } }),
      },
    );
  };
  return (
    <section className="sheet">
      <details className="act">
        <summary>Write a new checklist</summary>
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            begin(new FormData(event.currentTarget));
          }}
        >
          <p className="quiet">
            It begins with cautions that hold for every unit and one check. Models name a checklist by its code.
          </p>
          <TroubleNote trouble={trouble} />
          <BeginningFields trouble={trouble} />
          <button className="go" disabled={drafting.isPending}>
            {drafting.isPending ? 'Writing…' : 'Write the draft'}
          </button>
        </form>
      </details>
    </section>
  );
}

function BeginningFields({ trouble }: { readonly trouble: Trouble | undefined }): ReactNode {
  return (
    <>
      <TextLine
        id="new-code"
        name="code"
        label="Code"
        hint="Small letters, digits and hyphens, such as sofa-with-motor. It never changes."
        max={60}
        short
        required
        trouble={trouble}
      />
      <TextLine id="new-en" name="en" label="Title in English" max={300} required trouble={trouble} />
      <TextLine id="new-es" name="es" label="Title in Spanish" max={300} trouble={trouble} />
      <Choose
        id="new-family"
        name="family"
        label="Kind of unit"
        short
        options={FAMILIES.map((family) => [family, sentenceCase(family)] as const)}
        value={FAMILIES[0]}
        trouble={trouble}
      />
    </>
  );
}

/** What was typed as a checklist to begin with, or what is wrong with it. */
function readBeginning(form: FormData, taken: readonly string[]): Checklist | Trouble {
  const typed = (name: string): string => {
    const value = form.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
  const [code, en, es] = [typed('code'), typed('en'), typed('es')];
  const faults = [
    ...(CODE.test(code)
      ? taken.includes(code)
        ? [{ pointer: '#/code', detail: `There is a checklist ${code} already. Open it and write a new version.` }]
        : []
      : [
          {
            pointer: '#/code',
            detail: 'A code has small letters, digits and single hyphens, and begins with a letter.',
          },
        ]),
    ...(en === '' ? [{ pointer: '#/en', detail: 'Give it a title.' }] : []),
  ];
  if (faults.length > 0)
    return new Trouble(400, 'invalid-request', '', 'Nothing was written yet; what you typed is kept.', faults);
  const family: Family = FAMILIES.find((each) => each === typed('family')) ?? FAMILIES[0];
  return beginningOf(code, family, es === '' ? { en } : { en, es });
}
