import { useMemo, type ReactNode } from 'react';
import { signWeights, type SignWeight } from '../../../diagnosis/study.contract.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Facts } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { LearntMark } from './learnt-mark.js';
import {
  changeObservation,
  removeObservation,
  setLikelihood,
  setOpens,
  setOtherwise,
  type TypedExplanation,
  type TypedObservation,
} from './model-edits.js';
import type { PartProps } from './model-page.js';
import { controlAt, NumberCell, WordCell } from './number-cell.js';
import { ShareBar, showNumber, Weight } from './weights.js';

type SheetProps = PartProps & { readonly sign: TypedObservation; readonly index: number };

/** One sign: what the crew is asked, and how likely it is under every explanation. */
export function SignSheet(props: SheetProps): ReactNode {
  const { draft, sign, index } = props;
  const informed = draft.typed.subjects.filter(({ id }) => Object.hasOwn(sign.otherwise, id));
  const silent = draft.typed.subjects.filter(({ id }) => !Object.hasOwn(sign.otherwise, id));
  return (
    <section
      className="sheet stack"
      id={controlAt(`#/observations/${index}`)}
      tabIndex={-1}
      aria-labelledby="sign-title"
    >
      <h2 id="sign-title">{sentenceCase(sign.says)}</h2>
      <SignFacts {...props} />
      {informed.map(({ id, title }) => (
        <Chances key={id} {...props} subject={id} title={title.en} />
      ))}
      {draft.editable && silent.length > 0 ? (
        <Pick
          id="speaks-of"
          label="It says something about another thing as well"
          value=""
          options={[['', 'Choose…'], ...silent.map(({ id, title }) => [id, title.en] as const)]}
          onPick={(subject) => {
            if (subject !== '') draft.change(setOtherwise(sign.id, subject, 0.5));
          }}
        />
      ) : null}
      {draft.editable ? (
        <p>
          <button type="button" className="no" onClick={() => draft.change(removeObservation(sign.id))}>
            Take this sign out
          </button>{' '}
          <span className="small quiet">Undo brings it back.</span>
        </p>
      ) : null}
    </section>
  );
}

function SignFacts(props: SheetProps): ReactNode {
  const { draft, data, sign, index } = props;
  const base = `#/observations/${index}`;
  const item = data.checklist?.sections.flatMap(({ items }) => items).find(({ id }) => id === sign.item);
  if (!draft.editable)
    return (
      <Facts
        of={[
          ['Code', <code key="code">{sign.id}</code>],
          ['The crew is asked', sign.check.en],
          ['In Spanish', sign.check.es],
          ['Item of the checklist', item === undefined ? sign.item : `${item.ask.en} (${sign.item})`],
          ['It takes', count(Number(sign.effortSeconds), 'second')],
          [
            'Says the same as',
            sign.group === undefined ? undefined : `the others of “${sign.group}”; only the strongest counts`,
          ],
          ['Grounds', sign.grounds],
        ]}
      />
    );
  const set = (change: Partial<TypedObservation>): void => draft.change(changeObservation(sign.id, change));
  const words = { faults: draft.faults, shown: true, rows: 1 } as const;
  return (
    <div className="stack">
      <p className="small quiet">
        Code <code>{sign.id}</code> · item of the checklist <code>{sign.item}</code>
        {item === undefined ? '' : `: ${item.ask.en}`}
      </p>
      <WordCell
        {...words}
        pointer={`${base}/says`}
        label="The fact, as an analyst reads it"
        value={sign.says}
        onChange={(says) => set({ says })}
      />
      <WordCell
        {...words}
        pointer={`${base}/check/en`}
        label="What the crew is asked, in English"
        value={sign.check.en}
        onChange={(en) => set({ check: { ...sign.check, en } })}
      />
      <WordCell
        {...words}
        pointer={`${base}/check/es`}
        label="What the crew is asked, in Spanish"
        value={sign.check.es ?? ''}
        onChange={(es) => set({ check: es === '' ? { en: sign.check.en } : { ...sign.check, es } })}
      />
      <div className="grid">
        <div className="field">
          <span className="label">Seconds that it takes</span>
          <NumberCell
            pointer={`${base}/effortSeconds`}
            label="Seconds that it takes"
            value={sign.effortSeconds}
            faults={draft.faults}
            onChange={(effortSeconds) => set({ effortSeconds: effortSeconds ?? '' })}
          />
        </div>
        <WordCell
          {...words}
          pointer={`${base}/group`}
          label="Group that says the same (empty: none)"
          value={sign.group ?? ''}
          onChange={(group) => set({ group })}
        />
      </div>
      <WordCell
        {...words}
        rows={2}
        pointer={`${base}/grounds`}
        label="Grounds for its numbers"
        value={sign.grounds}
        onChange={(grounds) => set({ grounds })}
      />
    </div>
  );
}

type ChancesProps = SheetProps & { readonly subject: string; readonly title: string };

/** The chances of one sign under the explanations of one thing, with what it says for each by itself. */
function Chances(props: ChancesProps): ReactNode {
  const { draft, sign, index, subject, title } = props;
  const weights = useMemo(() => weightsOf(draft.sound, subject, sign.id), [draft.sound, subject, sign.id]);
  const explanations = draft.typed.explanations.filter((one) => one.subject === subject);
  const opens = draft.typed.subjects.some((one) => one.id === subject && one.opensOn.includes(sign.id));
  const otherwise = sign.otherwise[subject];
  const pointer = `#/observations/${index}/otherwise/${subject}`;
  const away = (
    <button type="button" className="linklike" onClick={() => draft.change(setOtherwise(sign.id, subject, undefined))}>
      It says nothing about {title.toLowerCase()}
    </button>
  );
  return (
    <div className="stack">
      <h3>{title}</h3>
      {draft.editable ? (
        <p className="row">
          <label className="pick">
            <input
              type="checkbox"
              checked={opens}
              onChange={(event) => draft.change(setOpens(sign.id, subject, event.currentTarget.checked))}
            />
            Seeing it opens a finding on it
          </label>
          {away}
        </p>
      ) : (
        <p className="small quiet">{opens ? 'Seeing it opens a finding on it.' : 'It opens no finding by itself.'}</p>
      )}
      <div className="scroll" tabIndex={0} role="region" aria-label={`Chances, ${title}`}>
        <table className="chances">
          <caption>How likely the sign is if the explanation is true, and what it says by the priors alone.</caption>
          <thead>
            <tr>
              <th scope="col">If it is</th>
              <th scope="col">Chance</th>
              <th scope="col">
                <span className="away">Bar</span>
              </th>
              <th scope="col">Where it is seen</th>
              <th scope="col">Where it is not there</th>
            </tr>
          </thead>
          <tbody>
            {explanations.map((one) => (
              <ChanceRow key={one.id} {...props} one={one} weight={weights.get(one.id)} otherwise={otherwise} />
            ))}
            <tr className="total">
              <th scope="row">All that have no number of their own</th>
              <td>
                {draft.editable ? (
                  <NumberCell
                    pointer={pointer}
                    label={`Chance under all others of ${title}`}
                    value={otherwise}
                    faults={draft.faults}
                    onChange={(chance) => draft.change(setOtherwise(sign.id, subject, chance ?? ''))}
                  />
                ) : (
                  <span className="figures">{showNumber(otherwise ?? '')}</span>
                )}
              </td>
              <td colSpan={3} />
            </tr>
          </tbody>
        </table>
      </div>
    </div>
  );
}

interface ChanceRowProps extends ChancesProps {
  readonly one: TypedExplanation;
  readonly weight: SignWeight | undefined;
  readonly otherwise: number | string | undefined;
}

function ChanceRow(props: ChanceRowProps): ReactNode {
  const { draft, sign, index, one, weight, otherwise } = props;
  const listed = sign.likelihoods[one.id];
  const chance = listed ?? otherwise;
  return (
    <tr>
      <th scope="row">
        {sentenceCase(one.fault)}
        <span className="sub">
          {one.component} · from {one.origin}
        </span>
      </th>
      <td>
        {draft.editable ? (
          <NumberCell
            pointer={`#/observations/${index}/likelihoods/${one.id}`}
            label={`Chance if “${one.fault}”`}
            value={listed}
            instead={otherwise}
            faults={draft.faults}
            onChange={(value) => draft.change(setLikelihood(sign.id, one.id, value))}
          />
        ) : (
          <span className="figures">{showNumber(chance ?? '')}</span>
        )}
        {listed === undefined ? (
          <span className="sub">as all others</span>
        ) : (
          <LearntMark learnt={sign.learnt?.[one.id]} />
        )}
      </td>
      <td>{typeof chance === 'number' ? <ShareBar share={chance} /> : null}</td>
      <td>{weight === undefined ? '–' : <Weight decibans={weight.present} />}</td>
      <td>{weight === undefined ? '–' : <Weight decibans={weight.absent} />}</td>
    </tr>
  );
}

function weightsOf(model: PartProps['draft']['sound'], subject: string, sign: string): ReadonlyMap<string, SignWeight> {
  if (!model.subjects.some(({ id }) => id === subject)) return new Map();
  return new Map(signWeights(model, subject, sign).map((one) => [one.explanation.id, one]));
}
