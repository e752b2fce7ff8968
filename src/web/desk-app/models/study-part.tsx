import { useMemo, type ReactNode } from 'react';
import type { EvidenceModel } from '../../../diagnosis/diagnosis.contract.js';
import {
  studyModel,
  type ExplanationPair,
  type SignWorth,
  type SubjectStudy,
} from '../../../diagnosis/study.contract.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { Mark, Note } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Empty } from '../parts/states.js';
import type { ModelSearch, PartProps } from './model-page.js';
import { idleSigns } from './idle-signs.js';

const HARDEST = 10;
const BEST = 12;

/** What can be said of a model without a claim: what it can tell apart, and which signs are worth the crew's time. */
export function StudyPart({ draft, at, go }: PartProps): ReactNode {
  const model = draft.sound;
  const studies = useMemo(() => studyModel(model), [model]);
  const idle = useMemo(() => idleSigns(studies), [studies]);
  const study = studies.find(({ subject }) => subject === at.subject) ?? studies[0];
  if (study === undefined) return <Empty>The model has nothing to explain.</Empty>;
  const title = model.subjects.find(({ id }) => id === study.subject)?.title.en ?? study.subject;
  return (
    <div className="stack">
      <div className="row filters">
        <Pick
          id="subject"
          label="Thing"
          value={study.subject}
          options={model.subjects.map(({ id, title: words }) => [id, words.en] as const)}
          onPick={(id) => go({ subject: id })}
        />
        <p className="small quiet">
          Worked out from the numbers alone, without a claim
          {draft.faults.length > 0 ? ', of the last state without faults' : ''}. Before anything is seen the doubt about
          it is {study.entropyBits.toFixed(2)} bits.
        </p>
      </div>
      <Pairs study={study} model={model} title={title} go={go} />
      <Signs study={study} title={title} go={go} />
      <section className="sheet stack">
        <h2>Signs that hardly matter</h2>
        {idle.length === 0 ? (
          <p className="quiet">Every sign can move some explanation by at least three decibans.</p>
        ) : (
          <Note tone="warn" title="These never double the odds of anything, seen or not there:">
            <ul>
              {idle.map(({ observation, says }) => (
                <li key={observation}>
                  <SignLink sign={observation} says={says} go={go} />
                </li>
              ))}
            </ul>
          </Note>
        )}
      </section>
    </div>
  );
}

function SignLink(props: {
  readonly sign: string;
  readonly says: string;
  readonly go: (search: ModelSearch) => void;
}): ReactNode {
  return (
    <button type="button" className="linklike" onClick={() => props.go({ part: 'signs', sign: props.sign, find: '' })}>
      {sentenceCase(props.says)}
    </button>
  );
}

interface PairsProps {
  readonly study: SubjectStudy;
  readonly model: EvidenceModel;
  readonly title: string;
  readonly go: (search: ModelSearch) => void;
}

function Pairs(props: PairsProps): ReactNode {
  const { pairs } = props.study;
  const rest = pairs.slice(HARDEST);
  return (
    <section className="sheet stack">
      <h2>Hardest to tell apart: {props.title}</h2>
      <p className="quiet">
        What all signs together can be expected to say for the true one against the other, if every one of them is
        looked for. Below 10 decibans a full inspection will often leave both standing.
      </p>
      <PairTable {...props} pairs={pairs.slice(0, HARDEST)} caption="The pairs that are hardest to tell apart" />
      {rest.length === 0 ? null : (
        <details>
          <summary>All other pairs ({rest.length})</summary>
          <PairTable {...props} pairs={rest} caption="Pairs that are told apart more easily" />
        </details>
      )}
    </section>
  );
}

function PairTable(
  props: PairsProps & { readonly pairs: readonly ExplanationPair[]; readonly caption: string },
): ReactNode {
  const { model, go } = props;
  const faultOf = (id: string): string => model.explanations.find((one) => one.id === id)?.fault ?? id;
  const saysOf = (id: string): string => model.observations.find((one) => one.id === id)?.says ?? id;
  return (
    <table className="cards">
      <caption>{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">One</th>
          <th scope="col">The other</th>
          <th scope="col" className="amount">
            Decibans
          </th>
          <th scope="col">So they are</th>
          <th scope="col">Best told apart by</th>
        </tr>
      </thead>
      <tbody>
        {props.pairs.map(({ one, other, decibans, bestSign }) => (
          <tr key={`${one} ${other}`}>
            <th scope="row">{sentenceCase(faultOf(one))}</th>
            <td data-label="The other">{sentenceCase(faultOf(other))}</td>
            <td data-label="Decibans" className="amount">
              {decibans.toFixed(1)}
            </td>
            <td data-label="So they are">
              <Apart decibans={decibans} />
            </td>
            <td data-label="Best told apart by">
              <SignLink sign={bestSign} says={saysOf(bestSign)} go={go} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The steps are those of odds, as everywhere in the service: 3 decibans double them, 10 make them tenfold. */
function Apart({ decibans }: { readonly decibans: number }): ReactNode {
  if (decibans < 3) return <Mark shape="triangle" tone="bad" says="Hardly told apart" />;
  if (decibans < 10) return <Mark shape="half" tone="warn" says="Told apart a little" />;
  return <Mark shape="tick" tone="ok" says={decibans < 20 ? 'Told apart clearly' : 'Told apart strongly'} />;
}

interface SignsProps {
  readonly study: SubjectStudy;
  readonly title: string;
  readonly go: (search: ModelSearch) => void;
}

function Signs({ study, title, go }: SignsProps): ReactNode {
  const rest = study.signs.slice(BEST);
  const total = study.signs.reduce((sum, { effortSeconds }) => sum + effortSeconds, 0);
  return (
    <section className="sheet stack">
      <h2>Worth looking at first: {title}</h2>
      <p className="quiet">
        Doubt that each sign takes away on average as the first one, for each second. Each sign by itself would take{' '}
        {Math.round(total / 60)} minutes in all; signs of one item of the checklist are learnt together.
      </p>
      <SignTable signs={study.signs.slice(0, BEST)} caption="The signs most worth their time" go={go} />
      {rest.length === 0 ? null : (
        <details>
          <summary>All other signs ({rest.length})</summary>
          <SignTable signs={rest} caption="Signs that are worth less" go={go} />
        </details>
      )}
    </section>
  );
}

function SignTable(props: {
  readonly signs: readonly SignWorth[];
  readonly caption: string;
  readonly go: (search: ModelSearch) => void;
}): ReactNode {
  return (
    <table className="cards">
      <caption>{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">Sign</th>
          <th scope="col" className="amount">
            Bits
          </th>
          <th scope="col" className="amount">
            Seconds
          </th>
          <th scope="col" className="amount">
            Bits a minute
          </th>
          <th scope="col" className="amount">
            Most decibans
          </th>
        </tr>
      </thead>
      <tbody>
        {props.signs.map(({ observation, says, item, expectedBits, effortSeconds, bitsPerSecond, mostDecibans }) => (
          <tr key={observation}>
            <th scope="row">
              <SignLink sign={observation} says={says} go={props.go} />
              <span className="sub">{item}</span>
            </th>
            <td data-label="Bits" className="amount">
              {expectedBits.toFixed(3)}
            </td>
            <td data-label="Seconds" className="amount">
              {effortSeconds}
            </td>
            <td data-label="Bits a minute" className="amount">
              {(bitsPerSecond * 60).toFixed(2)}
            </td>
            <td data-label="Most decibans" className="amount">
              {mostDecibans.toFixed(1)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
