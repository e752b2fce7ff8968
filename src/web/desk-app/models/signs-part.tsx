import { useMemo, type ReactNode } from 'react';
import { studyModel } from '../../../diagnosis/study.contract.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { useKeys } from '../keys.js';
import { Empty } from '../parts/states.js';
import { AddSign } from './add-sign.js';
import type { TypedObservation } from './model-edits.js';
import type { PartProps } from './model-page.js';
import { matches } from './sign-list.js';
import { SignSheet } from './sign-sheet.js';

/** Every sign in a list that can be searched, and the one that is chosen with its chance under every explanation. */
export function SignsPart(props: PartProps): ReactNode {
  const { draft, at, go, data } = props;
  const { observations } = draft.typed;
  const find = at.find ?? '';
  const shown = observations.filter((one) => matches(one, find));
  const chosen = observations.find(({ id }) => id === at.sign) ?? shown[0];
  const most = useStrengths(draft.sound);
  const move = (by: 1 | -1) => () => {
    const place = shown.findIndex(({ id }) => id === chosen?.id);
    const next = shown[Math.max(0, Math.min(shown.length - 1, place + by))];
    if (next !== undefined) go({ sign: next.id });
  };
  useKeys({ j: move(1), k: move(-1) });
  return (
    <div className="signs">
      <section className="signlist" aria-label="Signs">
        <div className="field">
          <label htmlFor="find">Find a sign</label>
          <input
            id="find"
            type="search"
            value={find}
            autoComplete="off"
            onChange={(event) => go({ find: event.currentTarget.value })}
          />
        </div>
        <p className="small quiet" role="status">
          {shown.length} of {observations.length} signs. <kbd>j</kbd> next, <kbd>k</kbd> before.
        </p>
        <div className="scrolling" tabIndex={0} role="region" aria-label="List of signs">
          <ul className="plain">
            {shown.map((one) => (
              <li key={one.id}>
                <button
                  type="button"
                  className="entry"
                  aria-current={one.id === chosen?.id ? 'true' : undefined}
                  onClick={() => go({ sign: one.id })}
                >
                  {sentenceCase(one.says)}
                  <span className="sub">
                    {titlesOf(props, one)}
                    {most.has(one.id) ? ` · up to ${Math.round(most.get(one.id) ?? 0)} decibans` : ''}
                  </span>
                </button>
              </li>
            ))}
          </ul>
        </div>
        {draft.editable ? <AddSign draft={draft} checklist={data.checklist} go={go} /> : null}
      </section>
      <div>
        {chosen === undefined ? (
          <Empty>No sign is like that. Search for another word, or empty the field.</Empty>
        ) : (
          <SignSheet key={chosen.id} {...props} sign={chosen} index={observations.indexOf(chosen)} />
        )}
      </div>
    </div>
  );
}

/** The things that a sign says something of, in the order of the model. */
function titlesOf({ draft }: PartProps, { otherwise }: TypedObservation): string {
  return draft.typed.subjects.flatMap(({ id, title }) => (Object.hasOwn(otherwise, id) ? [title.en] : [])).join(', ');
}

/** The greatest weight of each sign on any subject. */
function useStrengths(model: PartProps['draft']['sound']): ReadonlyMap<string, number> {
  return useMemo(() => {
    const most = new Map<string, number>();
    for (const { signs } of studyModel(model))
      for (const { observation, mostDecibans } of signs)
        most.set(observation, Math.max(mostDecibans, most.get(observation) ?? 0));
    return most;
  }, [model]);
}
