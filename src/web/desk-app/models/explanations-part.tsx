import type { ReactNode } from 'react';
import { COMPONENTS } from '../../../kernel/vocabulary.js';
import { sentenceCase, showChance } from '../../domain/trade-words.js';
import { Mark } from '../parts/parts.js';
import { AddExplanation } from './add-explanation.js';
import { changeExplanation, removeExplanation, type TypedExplanation } from './model-edits.js';
import type { PartProps } from './model-page.js';
import { controlAt, NumberCell, WordCell } from './number-cell.js';
import { SpeaksFor } from './speaks-for.js';
import { LearntMark } from './learnt-mark.js';
import { ShareBar, showNumber } from './weights.js';
import { COMPONENT_WORDS, ORIGIN_OPTIONS, SEVERITY_OPTIONS } from './model-words.js';

/** Every explanation by the thing that is damaged and the component at fault, with its prior and the grounds for it. */
export function ExplanationsPart(props: PartProps): ReactNode {
  const { draft } = props;
  return (
    <>
      <p className="quiet lead-in">
        The prior is a weight within its sheet: how often this explains such damage, before any sign is looked at.
        Shares of a sheet add up to 100 %.
      </p>
      {draft.typed.subjects.map((subject, s) => (
        <section key={subject.id} className="sheet stack" id={controlAt(`#/subjects/${s}`)} tabIndex={-1}>
          <h2>{subject.title.en}</h2>
          <p className="small quiet">A finding on it opens when one of {subject.opensOn.length} signs is seen.</p>
          <SubjectTable {...props} subject={subject.id} title={subject.title.en} />
          {draft.editable ? <AddExplanation draft={draft} subject={subject.id} title={subject.title.en} /> : null}
        </section>
      ))}
    </>
  );
}

type Shares = ReadonlyMap<string, number>;

function SubjectTable(props: PartProps & { readonly subject: string; readonly title: string }): ReactNode {
  const { draft, subject } = props;
  const rows = draft.typed.explanations.flatMap((one, index) => (one.subject === subject ? [{ one, index }] : []));
  const shares = sharesOf(rows.map(({ one }) => one));
  return (
    <div className="scroll" tabIndex={0} role="region" aria-label={`Explanations of ${props.title}`}>
      <table className="explanations">
        <caption className="away">Explanations of {props.title}</caption>
        <thead>
          <tr>
            <th scope="col">Explanation</th>
            <th scope="col">Prior</th>
            <th scope="col">Share</th>
            <th scope="col">Grounds</th>
          </tr>
        </thead>
        {COMPONENTS.map((component) => {
          const those = rows.filter(({ one }) => one.component === component);
          return those.length === 0 ? null : (
            <tbody key={component}>
              <tr>
                <th colSpan={4} scope="rowgroup" className="class">
                  {COMPONENT_WORDS[component]}
                  {shares.size === 0
                    ? ''
                    : ` · ${showChance(sum(those.map(({ one }) => shares.get(one.id) ?? 0)))} of the sheet`}
                </th>
              </tr>
              {those.map(({ one, index }) => (
                <Row key={one.id} {...props} one={one} index={index} shares={shares} />
              ))}
            </tbody>
          );
        })}
      </table>
    </div>
  );
}

interface RowProps extends PartProps {
  readonly one: TypedExplanation;
  readonly index: number;
  readonly shares: Shares;
}

function Row({ draft, one, index, shares, go }: RowProps): ReactNode {
  const base = `#/explanations/${index}`;
  const share = shares.get(one.id);
  return (
    <tr id={controlAt(base)} tabIndex={-1}>
      <th scope="row">
        {sentenceCase(one.fault)}
        <span className="sub">
          from {one.origin} · {one.severity === 'none' ? 'no damage' : one.severity} · <code>{one.id}</code>
        </span>
        {one.severity === 'unsafe' ? <Mark shape="octagon" tone="bad" says="May hurt someone" /> : null}
        <SpeaksFor model={draft.sound} explanation={one.id} subject={one.subject} go={go} />
        {draft.editable ? <EditWords draft={draft} one={one} base={base} /> : null}
      </th>
      <td>
        {draft.editable ? (
          <NumberCell
            pointer={`${base}/prior`}
            label={`Prior of “${one.fault}”`}
            value={one.prior}
            faults={draft.faults}
            onChange={(value) => draft.change(changeExplanation(one.id, { prior: value ?? '' }))}
          />
        ) : (
          <span className="figures">{showNumber(one.prior)}</span>
        )}
        <LearntMark learnt={one.learnt} />
      </td>
      <td>
        {share === undefined ? (
          '–'
        ) : (
          <span className="shareof">
            <ShareBar share={share} />
            <span className="figures">{showChance(share)}</span>
          </span>
        )}
      </td>
      <td className="grounds">
        {draft.editable ? (
          <WordCell
            pointer={`${base}/grounds`}
            label={`Grounds for the prior of “${one.fault}”`}
            value={one.grounds}
            faults={draft.faults}
            onChange={(grounds) => draft.change(changeExplanation(one.id, { grounds }))}
          />
        ) : (
          one.grounds
        )}
      </td>
    </tr>
  );
}

interface EditWordsProps {
  readonly draft: PartProps['draft'];
  readonly one: TypedExplanation;
  readonly base: string;
}

/** The words of an explanation and what it is, folded away because they change seldom. */
function EditWords({ draft, one, base }: EditWordsProps): ReactNode {
  const set = (change: Partial<TypedExplanation>): void => draft.change(changeExplanation(one.id, change));
  return (
    <details className="words">
      <summary>Change the words, or take it out</summary>
      <div className="stack">
        <WordCell
          pointer={`${base}/fault`}
          label="What happened"
          value={one.fault}
          faults={draft.faults}
          onChange={(fault) => set({ fault })}
          shown
        />
        <div className="grid">
          <Chosen
            id={controlAt(`${base}/component`)}
            label="Component"
            value={one.component}
            options={COMPONENTS.map((each) => [each, COMPONENT_WORDS[each]] as const)}
            onPick={(component) => set({ component })}
          />
          <Chosen
            id={controlAt(`${base}/origin`)}
            label="Where it comes from"
            value={one.origin}
            options={ORIGIN_OPTIONS}
            onPick={(origin) => set({ origin })}
          />
          <Chosen
            id={controlAt(`${base}/severity`)}
            label="How bad it is if true"
            value={one.severity}
            options={SEVERITY_OPTIONS}
            onPick={(severity) => set({ severity })}
          />
        </div>
        <p>
          <button type="button" className="no" onClick={() => draft.change(removeExplanation(one.id))}>
            Take it out
          </button>{' '}
          <span className="small quiet">with every number that is about it. Undo brings it back.</span>
        </p>
      </div>
    </details>
  );
}

interface ChosenProps<Value extends string> {
  readonly id: string;
  readonly label: string;
  readonly value: Value;
  readonly options: readonly (readonly [Value, string])[];
  readonly onPick: (value: Value) => void;
}

/** One of a closed list of the trade's words. */
export function Chosen<Value extends string>(props: ChosenProps<Value>): ReactNode {
  const { id, label, value, options, onPick } = props;
  return (
    <div className="field short">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        value={value}
        onChange={(event) => {
          const picked = options.find(([each]) => each === event.currentTarget.value);
          if (picked !== undefined) onPick(picked[0]);
        }}
      >
        {options.map(([each, says]) => (
          <option key={each} value={each}>
            {says}
          </option>
        ))}
      </select>
    </div>
  );
}

/** Shares of the priors; none while one of them is no number. */
function sharesOf(rows: readonly TypedExplanation[]): Shares {
  const priors = rows.map(({ prior }) => prior);
  if (!priors.every((prior) => typeof prior === 'number')) return new Map();
  const total = sum(priors);
  return new Map(total > 0 ? rows.map(({ id }, index) => [id, (priors[index] ?? 0) / total]) : []);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
