import type { ReactNode } from 'react';
import { count } from '../../domain/time-words.js';
import { Facts, Mark } from '../parts/parts.js';
import type { Understood } from './read-in.js';

/** Faults that are shown at once; a file that is of another kind may have thousands. */
const MOST_SHOWN = 50;

/** What was understood of a file, what was left out, and what is wrong with it. */
export function UnderstoodNote({ understood }: { readonly understood: Understood }): ReactNode {
  const { document, notices, check, kind, file } = understood;
  const failing = check.examples.filter(({ passed }) => !passed);
  return (
    <div className="stack" role="status">
      <h3>Understood of {file}</h3>
      {check.faults.length > 0 ? (
        <>
          <Mark shape="octagon" tone="bad" says="It cannot run" />
          <ul>
            {check.faults.slice(0, MOST_SHOWN).map(({ pointer, detail }) => (
              <li key={`${pointer} ${detail}`}>
                {detail} <span className="hash">{pointer}</span>
              </li>
            ))}
          </ul>
          {check.faults.length > MOST_SHOWN ? <p>And {check.faults.length - MOST_SHOWN} more.</p> : null}
        </>
      ) : (
        <>
          <Mark
            {...(check.sound
              ? { shape: 'tick', tone: 'ok', says: 'It runs, its examples pass, no error was found' }
              : { shape: 'triangle', tone: 'warn', says: 'It runs, and needs work before it can be proposed' })}
          />
          <Facts
            of={[
              ['Kind', kind],
              ['Policy', `${document.title} (${document.id})`],
              ['Place', document.jurisdiction],
              ['Money', document.money.currency],
              ['Facts', String(Object.keys(document.facts).length)],
              ['Parameters', String(Object.keys(document.parameters).length)],
              ['Clocks', String(document.clocks?.length ?? 0)],
              ['Examples', examplesWords(document.examples.length, failing.length)],
            ]}
          />
          <ul>
            {document.decisions.map(({ id, title, table }) => (
              <li key={id}>
                {title ?? id}: {table === undefined ? 'one expression' : count(table.rules.length, 'rule')}
              </li>
            ))}
          </ul>
        </>
      )}
      {notices.length === 0 ? null : (
        <details open>
          <summary>{count(notices.length, 'remark')} on the file</summary>
          <ul>
            {notices.map((notice) => (
              <li key={notice}>{notice}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

function examplesWords(all: number, failing: number): string {
  return failing === 0 ? String(all) : `${all}, of which ${failing} fail`;
}
