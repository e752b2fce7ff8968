import type { ReactNode } from 'react';
import { RULE_MARKS } from '../../domain/policy-marks.js';
import type { ChangedText, DecisionDifference, ParameterDifference } from '../../domain/rule-differences.js';
import { count, showDate } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Mark } from '../parts/parts.js';

type Sides = readonly [was: string, becomes: string];

const DECISION_WORDS = { added: 'This decision is new.', removed: 'This decision is gone.' } as const;

/** The rules of a decision that are not what they were, text by text. */
export function ChangedRules({
  decision,
  sides,
}: {
  readonly decision: DecisionDifference;
  readonly sides: Sides;
}): ReactNode {
  const { title, kind, rules, same, around } = decision;
  return (
    <div className="tight">
      <h3>{sentenceCase(title)}</h3>
      <p className="quiet">
        {kind === 'changed' ? `${count(same, 'rule')} word for word as before.` : DECISION_WORDS[kind]}
      </p>
      <div className="scroll" tabIndex={0} role="region" aria-label={`Changes of ${title}`}>
        <table className="changed">
          <caption className="away">Changes of {title}</caption>
          <thead>
            <tr>
              <th scope="col">Rule</th>
              <th scope="col">Text</th>
              <th scope="col">{sides[0]}</th>
              <th scope="col">{sides[1]}</th>
            </tr>
          </thead>
          {around.length === 0 ? null : (
            <tbody>
              <Texts head="The table" texts={around} />
            </tbody>
          )}
          {rules.map(({ rule, kind: became, texts }) => (
            <tbody key={rule}>
              {texts.length === 0 ? (
                <tr>
                  <th scope="row">
                    <code>{rule}</code> <Mark {...RULE_MARKS[became]} />
                  </th>
                  <td colSpan={3}>It stands in another place of the table; its words are the same.</td>
                </tr>
              ) : (
                <Texts
                  head={
                    <>
                      <code>{rule}</code> <Mark {...RULE_MARKS[became]} />
                    </>
                  }
                  texts={texts}
                />
              )}
            </tbody>
          ))}
        </table>
      </div>
    </div>
  );
}

function Texts({ head, texts }: { readonly head: ReactNode; readonly texts: readonly ChangedText[] }): ReactNode {
  return texts.map(({ name, was, becomes }, n) => (
    <tr key={name}>
      {n === 0 ? (
        <th scope="rowgroup" rowSpan={texts.length}>
          {head}
        </th>
      ) : null}
      <td>{sentenceCase(name)}</td>
      <td>{was === undefined ? <Nothing /> : <Side kind="was" says={was} isCell={!PROSE.has(name)} />}</td>
      <td>{becomes === undefined ? <Nothing /> : <Side kind="becomes" says={becomes} isCell={!PROSE.has(name)} />}</td>
    </tr>
  ));
}

/** Texts for people; everything else is a cell or a value of the rule language. */
const PROSE: ReadonlySet<string> = new Set(['because', 'source']);

interface SideProps {
  readonly kind: 'was' | 'becomes';
  readonly says: string;
  readonly isCell?: boolean;
}

function Side({ kind, says, isCell = true }: SideProps): ReactNode {
  return <div className={kind}>{isCell ? <code>{says}</code> : says}</div>;
}

function Nothing(): ReactNode {
  return <span className="quiet">nothing</span>;
}

/** Dated values that are not what they were. */
export function ChangedParameters({
  parameters,
  sides,
}: {
  readonly parameters: readonly ParameterDifference[];
  readonly sides: Sides;
}): ReactNode {
  if (parameters.length === 0) return null;
  return (
    <section className="sheet stack" id="parameters">
      <h2>Parameters</h2>
      <div className="scroll" tabIndex={0} role="region" aria-label="Changes of parameters">
        <table className="changed">
          <caption>A value holds from its date until the next one’s.</caption>
          <thead>
            <tr>
              <th scope="col">Parameter</th>
              <th scope="col">From</th>
              <th scope="col">{sides[0]}</th>
              <th scope="col">{sides[1]}</th>
            </tr>
          </thead>
          {parameters.map(({ name, unit, values }) => (
            <tbody key={name}>
              {values.map(({ from, was, becomes }, n) => (
                <tr key={from}>
                  {n === 0 ? (
                    <th scope="rowgroup" rowSpan={values.length}>
                      {sentenceCase(name)}
                      {unit === undefined ? null : <span className="sub">{unit}</span>}
                    </th>
                  ) : null}
                  <td>{showDate(from)}</td>
                  <td>{was === undefined ? <Nothing /> : <Side kind="was" says={was} />}</td>
                  <td>{becomes === undefined ? <Nothing /> : <Side kind="becomes" says={becomes} />}</td>
                </tr>
              ))}
            </tbody>
          ))}
        </table>
      </div>
    </section>
  );
}
