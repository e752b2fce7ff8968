import type { ReactNode } from 'react';
import type { AmountLine, Clock, RemedyProposal } from '../../../adjudication/adjudication.contract.js';
import { showMoney } from '../../domain/money-words.js';
import type { Shape, Tone } from '../../domain/state-marks.js';
import { dueIn, showDate, showTime } from '../../domain/time-words.js';
import { REMEDY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import type { CaseData } from '../../case-data.js';
import { Caution, Facts, Mark } from '../parts/parts.js';

/** The remedies that were weighed, and the amounts with how they were worked out. */
export function Remedies({ view }: { readonly view: CaseData }): ReactNode {
  const remedy = view.assessment?.remedy;
  if (remedy === undefined) return null;
  return (
    <section className="sheet stack" id="remedies">
      <h2>Remedy and amounts</h2>
      <Options remedy={remedy} view={view} />
      <GoesBack view={view} />
      <Lines
        title="To the customer"
        lines={remedy.customerLines}
        total={remedy.customerTotalMinor}
        currency={remedy.currency}
      />
      <Lines
        title="What it costs in all"
        lines={remedy.costLines}
        total={remedy.costTotalMinor}
        currency={remedy.currency}
      />
      <Caution />
    </section>
  );
}

/** Where the unit is to go, when what is decided or proposed takes it back. */
function GoesBack({ view: { line, visit, goodsAddress } }: { readonly view: CaseData }): ReactNode {
  if (!line.remedies.some((remedy) => remedy === 'refund' || remedy === 'unit')) return null;
  return goodsAddress === null ? (
    <p className="quiet">{visit.retailer.name} has not said where goods go back to. Ask before the unit is fetched.</p>
  ) : (
    <Facts of={[['The unit goes back to', goodsAddress.split('\n').join(', ')]]} />
  );
}

function Options({ remedy, view }: { readonly remedy: RemedyProposal; readonly view: CaseData }): ReactNode {
  const title = (about: string) =>
    view.assessment?.findings.find(({ subject }) => subject === about)?.title.en ?? 'The claim';
  const chosen = (about: string, kind: string) =>
    remedy.chosen.some((each) => each.remedy === kind && each.about.includes(about));
  return (
    <table className="cards">
      <caption>Remedies that were weighed. Expected cost ranks them; it is not what is paid.</caption>
      <thead>
        <tr>
          <th scope="col">Remedy</th>
          <th scope="col">Rule and reason</th>
          <th scope="col" className="amount">
            Expected cost
          </th>
        </tr>
      </thead>
      <tbody>
        {remedy.options.map((option) => (
          <tr key={`${option.about} ${option.remedy}`}>
            <th scope="row">
              {REMEDY_WORDS[option.remedy]}
              <span className="sub">{title(option.about)}</span>
              {chosen(option.about, option.remedy) ? <Mark shape="square" tone="ok" says="Proposed" /> : null}
              {option.admissible ? null : <Mark shape="cross" tone="plainly" says="Barred" />}
            </th>
            <td data-label="Reason">
              {option.because}
              <span className="sub">
                <code>{option.rule}</code>
              </span>
            </td>
            <td data-label="Expected cost" className="amount">
              {option.admissible ? showMoney(option.expectedCostMinor, remedy.currency) : '–'}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Lines of an amount, each with its working, and their sum as the service made it. */
export function Lines(props: {
  readonly title: string;
  readonly lines: readonly AmountLine[];
  readonly total: number;
  readonly currency: string;
}): ReactNode {
  if (props.lines.length === 0) return null;
  return (
    <table className="cards">
      <caption>{props.title}</caption>
      <thead>
        <tr>
          <th scope="col">Line</th>
          <th scope="col">Worked out</th>
          <th scope="col" className="amount">
            Amount
          </th>
        </tr>
      </thead>
      <tbody>
        {props.lines.map(({ says, working, amountMinor }) => (
          <tr key={`${says} ${working}`}>
            <td>{sentenceCase(says)}</td>
            <td data-label="Worked out" className="quiet">
              {working}
            </td>
            <td className="amount">{showMoney(amountMinor, props.currency)}</td>
          </tr>
        ))}
        <tr className="total">
          <th scope="row">Total</th>
          <td />
          <td className="amount">{showMoney(props.total, props.currency)}</td>
        </tr>
      </tbody>
    </table>
  );
}

const CLOCK_MARKS: Readonly<
  Record<Clock['state'], { readonly says: string; readonly shape: Shape; readonly tone: Tone }>
> = {
  'not started': { says: 'Not started', shape: 'ring', tone: 'plainly' },
  running: { says: 'Running', shape: 'half', tone: 'info' },
  met: { says: 'Met', shape: 'tick', tone: 'ok' },
  missed: { says: 'Missed', shape: 'triangle', tone: 'bad' },
};

/** Every clock with its ground, what happens when it runs out, and by when. */
export function Clocks({ view }: { readonly view: CaseData }): ReactNode {
  const clocks = view.assessment?.clocks ?? [];
  if (clocks.length === 0) return null;
  return (
    <section className="sheet stack" id="clocks">
      <h2>Clocks</h2>
      <table className="cards">
        <caption>As of the last assessment, in the time of the place ({view.visit.zone})</caption>
        <thead>
          <tr>
            <th scope="col">Clock</th>
            <th scope="col">State</th>
            <th scope="col">Last day</th>
            <th scope="col">When it lapses</th>
          </tr>
        </thead>
        <tbody>
          {clocks.map((clock) => (
            <tr key={clock.id}>
              <th scope="row">
                {clock.title}
                <span className="sub">
                  {clock.ground}. {clock.source}
                </span>
              </th>
              <td>
                <Mark {...clockMark(clock, view.now)} />
              </td>
              <td data-label="Last day">
                {clock.lastDay === null ? '–' : showDate(clock.lastDay)}
                {clock.endsAt === null ? null : (
                  <span className="sub">missed from {showTime(clock.endsAt, view.visit.zone)}</span>
                )}
              </td>
              <td data-label="When it lapses">
                {sentenceCase(clock.lapse)}; owed by the {clock.owedBy}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Caution />
    </section>
  );
}

/** A clock was judged when the claim was last assessed; one that ran then may have run out since. */
function clockMark(clock: Clock, now: string) {
  if (clock.state !== 'running' || clock.endsAt === null) return CLOCK_MARKS[clock.state];
  const due = dueIn(clock.endsAt, now);
  if (due.late) return { ...CLOCK_MARKS.missed, says: sentenceCase(due.says) };
  return { ...CLOCK_MARKS.running, says: `Ends ${due.says}` };
}
