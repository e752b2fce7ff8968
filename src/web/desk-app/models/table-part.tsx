import { memo, useMemo, type ReactNode } from 'react';
import { compileModel, type EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import { signWeights, type SignWeight } from '../../../diagnosis/study.contract.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Pick } from '../parts/pick.js';
import { Empty } from '../parts/states.js';
import type { ModelSearch, PartProps } from './model-page.js';
import { matches } from './sign-list.js';
import { shortWeight, showNumber, WeightBar } from './weights.js';

/** Signs against the explanations of one thing: the chance of each, and what seeing it says, as bar, number and words. */
export function TablePart({ draft, at, go }: PartProps): ReactNode {
  const { subjects } = draft.sound;
  const subject = subjects.find(({ id }) => id === at.subject) ?? subjects[0];
  const find = at.find ?? '';
  if (subject === undefined) return <Empty>The model has nothing to explain.</Empty>;
  return (
    <section className="sheet stack" aria-labelledby="table-title">
      <h2 id="table-title">Signs by explanations: {subject.title.en}</h2>
      <div className="row filters">
        <Pick
          id="subject"
          label="Thing"
          value={subject.id}
          options={subjects.map(({ id, title }) => [id, title.en] as const)}
          onPick={(id) => go({ subject: id })}
        />
        <div className="field">
          <label htmlFor="find">Find a sign</label>
          <input
            id="find"
            type="search"
            autoComplete="off"
            value={find}
            onChange={(event) => go({ find: event.currentTarget.value })}
          />
        </div>
      </div>
      <p className="small quiet">
        The number is the chance of seeing the sign if the explanation is true; the bar and the words tell what seeing
        it says for that explanation against the others, by the priors alone. The arrows scroll the table once it has
        the focus.
        {draft.faults.length > 0 ? ' It shows the last state without faults.' : ''}
      </p>
      <Board model={draft.sound} subject={subject.id} title={subject.title.en} find={find} go={go} />
    </section>
  );
}

interface BoardProps {
  readonly model: EvidenceModel;
  readonly subject: string;
  readonly title: string;
  readonly find: string;
  readonly go: (search: ModelSearch) => void;
}

const Board = memo(function Board({ model, subject, title, find, go }: BoardProps): ReactNode {
  const ready = useMemo(() => compileModel(model), [model]);
  const rows = useMemo(
    () =>
      model.observations.flatMap((one) => {
        const weights = signWeights(ready, subject, one.id);
        return weights.length === 0 ? [] : [{ one, weights }];
      }),
    [model, ready, subject],
  );
  const shown = rows.filter(({ one }) => matches(one, find));
  const explanations = rows[0]?.weights.map(({ explanation }) => explanation) ?? [];
  if (shown.length === 0)
    return <Empty>No sign of this thing is like that. Search for another word, or empty the field.</Empty>;
  return (
    <div className="board" tabIndex={0} role="region" aria-label={`Signs by explanations, ${title}`}>
      <table>
        <caption className="away">Signs by explanations, {title}</caption>
        <thead>
          <tr>
            <th scope="col">Sign</th>
            {explanations.map(({ id, fault, component, origin }) => (
              <th key={id} scope="col">
                {sentenceCase(fault)}
                <span className="sub">
                  {component}, {origin}
                </span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {shown.map(({ one, weights }) => (
            <tr key={one.id}>
              <th scope="row">
                <button type="button" className="linklike" onClick={() => go({ part: 'signs', sign: one.id })}>
                  {sentenceCase(one.says)}
                </button>
              </th>
              {weights.map((weight) => (
                <BoardCell key={weight.explanation.id} weight={weight} />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
});

function BoardCell({ weight: { chance, present } }: { readonly weight: SignWeight }): ReactNode {
  const strong = Math.abs(present) >= 3;
  return (
    <td className={strong ? (present > 0 ? 'for' : 'against') : undefined}>
      <span className="figures">{showNumber(chance)}</span>
      <WeightBar decibans={present} />
      <span className="sub">{shortWeight(present)}</span>
    </td>
  );
}
