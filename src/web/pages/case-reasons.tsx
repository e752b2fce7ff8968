import type { VNode } from 'preact';
import type { AssessedFinding, Responsibility } from '../../adjudication/adjudication.contract.js';
import { showMoney } from '../domain/money-words.js';
import { PARTY_WORDS, sentenceCase, showChance, showShare, weightWords } from '../domain/trade-words.js';
import type { CaseView } from './case-view.js';
import { Mark, Note } from './parts.js';

/** What is broken and why: every finding with its explanations and what spoke for and against the leading one. */
export function Findings({ view }: { readonly view: CaseView }): VNode | null {
  const assessment = view.assessment;
  if (assessment === undefined) return null;
  return (
    <section class="sheet" id="findings">
      <h2>What is broken, and why</h2>
      {assessment.findings.length === 0 ? (
        <p class="quiet">No damage was found; the claim rests on its ground alone.</p>
      ) : null}
      {assessment.findings.map((finding) => (
        <FindingPart finding={finding} view={view} />
      ))}
    </section>
  );
}

function FindingPart({ finding, view }: { readonly finding: AssessedFinding; readonly view: CaseView }): VNode {
  const shown = finding.explanations.slice(0, 6);
  const rest = finding.explanations.length - shown.length;
  return (
    <div class="finding stack">
      <div class="row spread">
        <h3>{finding.title.en}</h3>
        {finding.verdict === 'settled' ? (
          <Mark shape="tick" tone="ok" says="Clear enough" />
        ) : (
          <Mark shape="triangle" tone="warn" says="To a person" />
        )}
      </div>
      {finding.reasons.length === 0 ? null : (
        <Note tone="warn" title="Why the service leaves it to you:">
          <ul>
            {finding.reasons.map((reason) => (
              <li>{reason}</li>
            ))}
          </ul>
        </Note>
      )}
      <table class="bars">
        <caption>How likely each explanation is (evidence {finding.evidenceGrade})</caption>
        <thead>
          <tr>
            <th scope="col">Explanation</th>
            <th scope="col">
              <span class="away">Bar</span>
            </th>
            <th scope="col" class="amount">
              Likely
            </th>
          </tr>
        </thead>
        <tbody>
          {shown.map((explanation, index) => (
            <tr>
              <th scope="row">
                {sentenceCase(explanation.fault)}
                <span class="sub">
                  {explanation.component} · from {explanation.origin}
                  {explanation.severity === 'unsafe' ? ' · unsafe' : ''}
                </span>
              </th>
              <td>
                <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
                  <rect class="track" width="100" height="10" />
                  <rect
                    class={index === 0 ? 'fill' : 'other'}
                    width={Math.max(0.5, explanation.probability * 100)}
                    height="10"
                  />
                </svg>
              </td>
              <td class="figures">{showChance(explanation.probability)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {rest > 0 ? <p class="small quiet">and {rest} that are less likely still.</p> : null}
      <Evidence finding={finding} />
      {finding.notChecked.length === 0 ? null : (
        <details>
          <summary>Not checked ({finding.notChecked.length})</summary>
          <ul>
            {finding.notChecked.map((code) => (
              <li>{sentenceCase(view.says[code] ?? code)}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

/** How many signs stand open on the page; the weaker ones are folded away. */
const STRONGEST = 8;

function Evidence({ finding }: { readonly finding: AssessedFinding }): VNode | null {
  const strong = finding.evidence.slice(0, STRONGEST);
  const rest = finding.evidence.slice(STRONGEST);
  if (strong.length === 0) return null;
  const caption = `What spoke for and against “${finding.leading.fault}”, strongest first. 3 decibans double the odds, 10 make them tenfold.`;
  return (
    <>
      <EvidenceTable signs={strong} caption={caption} />
      {rest.length === 0 ? null : (
        <details>
          <summary>Weaker signs ({rest.length})</summary>
          <EvidenceTable signs={rest} caption="Signs that say less, or what a stronger one has said already" />
        </details>
      )}
    </>
  );
}

function EvidenceTable(props: { readonly signs: AssessedFinding['evidence']; readonly caption: string }): VNode {
  return (
    <table class="cards">
      <caption>{props.caption}</caption>
      <thead>
        <tr>
          <th scope="col">Seen or not</th>
          <th scope="col">What it says</th>
          <th scope="col" class="amount">
            Decibans
          </th>
        </tr>
      </thead>
      <tbody>
        {props.signs.map(({ says, sighting, decibans, counted }) => (
          <tr>
            <td>
              {sentenceCase(says)}
              <span class="sub">{sighting === 'present' ? 'was seen' : 'was looked for and not there'}</span>
            </td>
            <td data-label="Says">
              {counted ? sentenceCase(weightWords(decibans)) : 'Said by a stronger sign already; not counted twice'}
            </td>
            <td data-label="Decibans" class="amount">
              {decibans > 0 ? '+' : decibans < 0 ? '\u2212' : ''}
              {Math.abs(decibans).toFixed(1)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Who answers for it, in which shares and why. */
export function Shares({ view }: { readonly view: CaseView }): VNode | null {
  const assessment = view.assessment;
  if (assessment === undefined || assessment.responsibility.length === 0) return null;
  const titles = new Map(assessment.findings.map(({ subject, title }) => [subject, title.en]));
  return (
    <section class="sheet" id="shares">
      <h2>Who answers for it</h2>
      {assessment.responsibility.map((part) => (
        <SharesPart part={part} title={titles.get(part.about) ?? 'The claim'} currency={assessment.remedy.currency} />
      ))}
    </section>
  );
}

const MODES: Readonly<Record<Responsibility['mode'], string>> = {
  presumption: 'A rule names the party',
  proportional: 'Shared by how likely each origin is',
  unassigned: 'Nobody yet: to a person',
};

function SharesPart(props: {
  readonly part: Responsibility;
  readonly title: string;
  readonly currency: string;
}): VNode {
  const { part, title, currency } = props;
  return (
    <div class="finding stack">
      <h3>{title}</h3>
      <p>
        <strong>{MODES[part.mode]}.</strong> {part.because}
      </p>
      {part.shares.length === 0 ? null : (
        <table class="bars">
          <caption class="away">Shares of the cost of {title}</caption>
          <thead>
            <tr>
              <th scope="col">Party</th>
              <th scope="col">
                <span class="away">Bar</span>
              </th>
              <th scope="col" class="amount">
                Share
              </th>
              <th scope="col" class="amount">
                Of {showMoney(part.costMinor, currency)}
              </th>
            </tr>
          </thead>
          <tbody>
            {part.shares.map(({ party, bp }) => (
              <tr>
                <th scope="row">{PARTY_WORDS[party]}</th>
                <td>
                  <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
                    <rect class="track" width="100" height="10" />
                    <rect class="fill" width={bp / 100} height="10" />
                  </svg>
                </td>
                <td class="figures">{showShare(bp)}</td>
                <td class="figures">
                  {showMoney(part.amounts.find((each) => each.party === party)?.amountMinor ?? 0, currency)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {part.fired.length === 0 ? null : (
        <details>
          <summary>Rules that decided it</summary>
          <ul>
            {part.fired.map(({ decision, rule, because, source }) => (
              <li>
                <code>
                  {decision} / {rule}
                </code>
                {because === undefined ? '' : `: ${because}`}
                {source === undefined ? null : <span class="sub">{source}</span>}
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}
