import { useState, type ReactNode } from 'react';
import { REMEDIES } from '../../../kernel/vocabulary.js';
import type { WhyNotRule } from '../../../policies/trace.contract.js';
import { valueText } from '../../domain/rule-differences.js';
import { REMEDY_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { useWhyNot, type NotGiven } from '../api/records.js';
import { Mark } from '../parts/parts.js';
import { Pick } from '../parts/pick.js';
import { Failing, Loading } from '../parts/states.js';

/** Rules that are shown at once; those with the fewest failing cells stand first. */
const MOST_RULES = 5;

/** Why a remedy was not given: which rules would have, and what stands against each. */
export function WhyNotPart({ record }: { readonly record: string }): ReactNode {
  const [wanted, setWanted] = useState<(typeof REMEDIES)[number] | ''>('');
  const found = useWhyNot(record, wanted);
  return (
    <section className="sheet stack" id="why-not">
      <h2>Why not something else?</h2>
      <Pick
        id="wanted"
        label="You would have expected"
        value={wanted}
        onPick={(value) => setWanted(REMEDIES.find((each) => each === value) ?? '')}
        options={[['', 'Choose a remedy'], ...REMEDIES.map((each) => [each, REMEDY_WORDS[each]] as const)]}
      />
      {wanted !== '' && found.isPending ? <Loading what="what stands against it" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data?.map((matter) => (
        <Matter key={matter.about} matter={matter} />
      ))}
      {wanted === '' ? (
        <p className="quiet">What is said here is what the tables say of other facts; it is no advice to change any.</p>
      ) : null}
    </section>
  );
}

function Matter({ matter: { about, given, says, whyNot } }: { readonly matter: NotGiven }): ReactNode {
  return (
    <div className="tight">
      <div className="row spread">
        <h3>{sentenceCase(about)}</h3>
        {given ? <Mark shape="tick" tone="ok" says="Given" /> : <Mark shape="cross" tone="plainly" says="Not given" />}
      </div>
      <p>{sentenceCase(says)}</p>
      {whyNot === undefined ? null : (
        <>
          {whyNot.rules.length === 0 ? <p>No rule of the policy would give it.</p> : null}
          {whyNot.rules.slice(0, MOST_RULES).map((rule) => (
            <Against key={rule.rule} rule={rule} />
          ))}
          {whyNot.rules.length > MOST_RULES ? (
            <details>
              <summary>{whyNot.rules.length - MOST_RULES} more rules, further away</summary>
              {whyNot.rules.slice(MOST_RULES).map((rule) => (
                <Against key={rule.rule} rule={rule} />
              ))}
            </details>
          ) : null}
          {whyNot.nearest === undefined ? null : (
            <p>
              It would be given if{' '}
              {whyNot.nearest.changes
                .map(
                  ({ fact, was, becomes }) =>
                    `${fact} were ${valueText(becomes)}${was === undefined ? '' : ` in place of ${valueText(was)}`}`,
                )
                .join(', and ')}
              .
            </p>
          )}
        </>
      )}
    </div>
  );
}

function Against({ rule }: { readonly rule: WhyNotRule }): ReactNode {
  const stronger = [...rule.maskedBy, ...rule.overriddenBy];
  return (
    <div className="fired">
      <p>
        <code>{rule.rule}</code> would give it{rule.because === undefined ? '.' : `: ${rule.because}`}
      </p>
      {rule.failing.length === 0 ? null : (
        <ul className="plain cells">
          {rule.failing.map(({ column, expression, cell, value, holds }) => (
            <li key={column}>
              <Mark
                {...(holds === 'no'
                  ? { shape: 'cross', tone: 'bad', says: 'Does not hold' }
                  : { shape: 'ring', tone: 'warn', says: 'Not known' })}
              />{' '}
              {expression} <code>{cell}</code> <span className="quiet">is {valueText(value)}</span>
            </li>
          ))}
        </ul>
      )}
      {stronger.length === 0 ? null : <p>It holds, and these come before it: {stronger.join(', ')}.</p>}
    </div>
  );
}
