import { useMemo, useState, type ReactNode } from 'react';
import {
  compileModel,
  findings,
  nextChecks,
  type EvidenceModel,
  type FindingBar,
  type NextCheck,
} from '../../../diagnosis/diagnosis.contract.js';
import type { Sighting } from '../../../kernel/vocabulary.js';
import type { PolicyBar } from '../../domain/desk-models.js';
import { count } from '../../domain/time-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Pick } from '../parts/pick.js';
import type { PartProps } from './model-page.js';
import { matches } from './sign-list.js';
import { TriedFinding } from './tried-finding.js';

/** Lets every finding be settled; for a house that has no policy yet. */
const NO_BAR: FindingBar = { probability: 0, marginDecibans: 0, surprise: 0, worthBits: 0.01 };
const MOST_CHECKS = 8;

type Seen = Readonly<Record<string, Exclude<Sighting, 'not checked'>>>;

/** Tick what a crew might see: the findings that it opens, what pulled which way, and what to look at next. Nothing is kept. */
export function TryPart({ draft, data, at, go }: PartProps): ReactNode {
  const model = draft.sound;
  const [seen, setSeen] = useState<Seen>({});
  const [policy, setPolicy] = useState(data.bars[0]?.policy ?? '');
  const bar = data.bars.find((one) => one.policy === policy)?.bar ?? NO_BAR;
  const tried = useTried(model, seen, bar);
  const see = (id: string, sighting: Sighting): void =>
    setSeen((before) => {
      const rest = Object.fromEntries(Object.entries(before).filter(([each]) => each !== id));
      return sighting === 'not checked' ? rest : { ...rest, [id]: sighting };
    });
  const made = Object.keys(seen).length;
  return (
    <div className="signs wide">
      <section className="signlist" aria-label="What was seen">
        <div className="field">
          <label htmlFor="find">Find a sign</label>
          <input
            id="find"
            type="search"
            autoComplete="off"
            value={at.find ?? ''}
            onChange={(event) => go({ find: event.currentTarget.value })}
          />
        </div>
        <p className="row spread">
          <span className="small quiet" role="status">
            {count(made, 'sign')} ticked
          </span>
          <button type="button" disabled={made === 0} onClick={() => setSeen({})}>
            Start again
          </button>
        </p>
        <div className="scrolling" tabIndex={0} role="region" aria-label="Signs to tick">
          {model.observations
            .filter((one) => matches(one, at.find ?? ''))
            .map(({ id, says }) => (
              <Tick key={id} id={id} says={says} sighting={seen[id] ?? 'not checked'} onSee={see} />
            ))}
        </div>
      </section>
      <section className="stack" aria-label="What the model makes of it" aria-live="polite">
        <BarOf bars={data.bars} policy={policy} onPick={setPolicy} bar={bar} />
        {tried.findings.length === 0 ? (
          <p className="lead">
            {made === 0
              ? 'Tick what was seen, and what was looked for and is not there.'
              : 'No finding is opened: something that a thing opens on has to be seen.'}
          </p>
        ) : null}
        {tried.findings.map((finding) => (
          <TriedFinding key={finding.subject} finding={finding} />
        ))}
        {tried.findings.length > 0 ? <NextChecks checks={tried.checks} model={model} onSee={see} /> : null}
        {draft.faults.length > 0 ? (
          <p className="small quiet">This is tried on the last state without faults.</p>
        ) : null}
      </section>
    </div>
  );
}

function useTried(model: EvidenceModel, seen: Seen, bar: FindingBar) {
  const ready = useMemo(() => compileModel(model), [model]);
  return useMemo(() => {
    const of = (sighting: string): string[] =>
      Object.entries(seen).flatMap(([id, each]) => (each === sighting ? [id] : []));
    const observations = { present: of('present'), absent: of('absent') };
    return {
      findings: findings(ready, observations, bar),
      checks: nextChecks(ready, observations, bar, MOST_CHECKS),
    };
  }, [ready, seen, bar]);
}

interface TickProps {
  readonly id: string;
  readonly says: string;
  readonly sighting: Sighting;
  readonly onSee: (id: string, sighting: Sighting) => void;
}

const TICKS = [
  ['present', 'Seen'],
  ['absent', 'Not there'],
  ['not checked', 'Not checked'],
] as const;

function Tick({ id, says, sighting, onSee }: TickProps): ReactNode {
  return (
    <fieldset className="tick">
      <legend>{sentenceCase(says)}</legend>
      <div className="row">
        {TICKS.map(([each, words]) => (
          <label key={each}>
            <input type="radio" name={`tick-${id}`} checked={sighting === each} onChange={() => onSee(id, each)} />
            {words}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

interface BarOfProps {
  readonly bars: readonly PolicyBar[];
  readonly policy: string;
  readonly onPick: (policy: string) => void;
  readonly bar: FindingBar;
}

function BarOf({ bars, policy, onPick, bar }: BarOfProps): ReactNode {
  if (bars.length === 0)
    return <p className="small quiet">No published policy sets a bar today, so that every finding counts as clear.</p>;
  return (
    <div className="row filters">
      <Pick
        id="bar"
        label="Bar of the policy"
        value={policy}
        onPick={onPick}
        options={bars.map(({ policy: code, title }) => [code, title] as const)}
      />
      <p className="small quiet">
        It speaks for itself from {Math.round(bar.probability * 100)} % and {bar.marginDecibans} decibans ahead of the
        next; a check is worth asking for from {bar.worthBits} bits.
      </p>
    </div>
  );
}

interface NextChecksProps {
  readonly checks: readonly NextCheck[];
  readonly model: EvidenceModel;
  readonly onSee: (id: string, sighting: Sighting) => void;
}

/** What to look at next: how much doubt it would take away for the time it costs. */
function NextChecks({ checks, model, onSee }: NextChecksProps): ReactNode {
  return (
    <section className="sheet">
      <h2>What to look at next</h2>
      {checks.length === 0 ? (
        <p className="quiet">No check is worth its time any more.</p>
      ) : (
        <table className="cards">
          <caption>The best first: doubt taken away on average, for each second of the crew.</caption>
          <thead>
            <tr>
              <th scope="col">Sign</th>
              <th scope="col" className="amount">
                Bits
              </th>
              <th scope="col" className="amount">
                Seconds
              </th>
              <th scope="col">It was</th>
            </tr>
          </thead>
          <tbody>
            {checks.map(({ observation, subject, expectedBits, effortSeconds }) => {
              const says = model.observations.find(({ id }) => id === observation)?.says ?? observation;
              return (
                <tr key={`${observation} ${subject}`}>
                  <th scope="row">{sentenceCase(says)}</th>
                  <td data-label="Bits" className="amount">
                    {expectedBits.toFixed(2)}
                  </td>
                  <td data-label="Seconds" className="amount">
                    {effortSeconds}
                  </td>
                  <td>
                    <span className="row brief">
                      <button type="button" aria-label={`${says}: seen`} onClick={() => onSee(observation, 'present')}>
                        Seen
                      </button>
                      <button
                        type="button"
                        aria-label={`${says}: not there`}
                        onClick={() => onSee(observation, 'absent')}
                      >
                        Not there
                      </button>
                    </span>
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </section>
  );
}
