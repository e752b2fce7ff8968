import { useState, type ReactNode } from 'react';
import { OVERRIDE_REASONS } from '../../../claims/claims.contract.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { moneyExample, readMoney, showMoney } from '../../domain/money-words.js';
import { PARTY_WORDS, remediesInWords, sentenceCase, showChance } from '../../domain/trade-words.js';
import type { Trouble } from '../api/http.js';
import type { CaseData } from '../../case-data.js';
import { Choose, TextBox, TextLine } from '../parts/fields.js';

/** What a form of an act needs: the case, and what was typed where it came back. */
export interface ActProps {
  readonly view: CaseData;
  readonly act: ClaimAct;
  readonly trouble?: Trouble | undefined;
}

/** A reason from the list and words: a departure needs both. */
export function Why({ act, trouble }: ActProps): ReactNode {
  return (
    <>
      <Choose
        id={`${act}-reason`}
        name="reason"
        label="Reason"
        none="Choose a reason"
        options={OVERRIDE_REASONS.map((reason) => [reason, sentenceCase(reason)] as const)}
        trouble={trouble}
      />
      <TextBox
        id={`${act}-words`}
        name="words"
        label="In a sentence"
        hint="It stands in the file for good. At least ten characters."
        trouble={trouble}
      />
    </>
  );
}

/** Words of the person's own. */
export function Words(
  props: ActProps & { readonly name: string; readonly label: string; readonly optional?: boolean },
): ReactNode {
  return (
    <TextBox
      id={`${props.act}-${props.name}`}
      name={props.name}
      label={props.label}
      required={props.optional !== true}
      trouble={props.trouble}
    />
  );
}

/** An amount in the claim's currency, with how far it is from what the policy says. */
export function Amount(props: ActProps & { readonly label: string; readonly value?: string }): ReactNode {
  const { currency } = props.view.claim;
  const [typed, setTyped] = useState('');
  const says = props.view.assessment?.remedy.customerTotalMinor;
  const amount = readMoney(typed, currency);
  return (
    <div
      onInput={(event) => {
        if (event.target instanceof HTMLInputElement) setTyped(event.target.value);
      }}
    >
      <TextLine
        id={`${props.act}-amount`}
        name="amount"
        label={`${props.label} (${currency})`}
        hint={`Like ${moneyExample(currency)}`}
        value={props.value ?? ''}
        inputMode="decimal"
        short
        required
        max={30}
        trouble={props.trouble}
      />
      <p className="quiet" role="status">
        {amount === undefined || says === undefined || props.act === 'settle'
          ? ''
          : differenceWords(amount - says, currency)}
      </p>
    </div>
  );
}

function differenceWords(byMinor: number, currency: string): string {
  if (byMinor === 0) return 'As the policy says.';
  const by = showMoney(Math.abs(byMinor), currency);
  return byMinor > 0 ? `${by} more than the policy says.` : `${by} less than the policy says.`;
}

/** What the retailer is told in the person's own words, beside what the service says. */
export function ForRetailer({ act, trouble }: ActProps): ReactNode {
  return (
    <details>
      <summary>Words to the retailer</summary>
      <div className="stack">
        <TextBox
          id={`${act}-retailerEn`}
          name="retailerEn"
          label="In English"
          hint="They stand on the retailer’s page and in its letter. Left empty, the service’s own sentences stand alone."
          trouble={trouble}
        />
        <TextBox id={`${act}-retailerEs`} name="retailerEs" label="In Spanish" trouble={trouble} />
      </div>
    </details>
  );
}

/** What was the matter, finding by finding, where whoever decides knows it. */
export function Matter({ view, act, trouble }: ActProps): ReactNode {
  const findings = view.assessment?.findings ?? [];
  if (findings.length === 0) return null;
  return (
    <details>
      <summary>What was the matter</summary>
      <p className="quiet">Where you know it. The evidence model learns from what is named here.</p>
      {findings.map(({ subject, title, leading, explanations }) => (
        <Choose
          key={subject}
          id={`${act}-matter-${subject}`}
          name={`matter:${subject}`}
          label={title.en}
          none={`Not named; found was “${leading.fault}”`}
          options={explanations.map(
            ({ id, fault, component, origin, probability }) =>
              [id, `${sentenceCase(fault)} (${component}, ${origin}; ${showChance(probability)})`] as const,
          )}
          trouble={trouble}
        />
      ))}
    </details>
  );
}

/** What the policy says, to be read beside what is decided otherwise. */
export function PolicySays({ view }: ActProps): ReactNode {
  if (view.assessment === undefined) return null;
  const { chosen, customerTotalMinor, currency } = view.assessment.remedy;
  const given = chosen.map(({ remedy }) => remedy).filter((remedy) => remedy !== 'none');
  const money = `${showMoney(customerTotalMinor, currency)} to the customer`;
  return (
    <p className="quiet">
      The policy says: {given.length === 0 ? 'nothing for the customer' : `${remediesInWords(given)}, ${money}`}.{' '}
      {paysWords(view)}
    </p>
  );
}

function paysWords({ assessment }: CaseData): string {
  const shares = (assessment?.responsibility ?? []).flatMap((part) => part.shares);
  const names = [...new Set(shares.map(({ party }) => PARTY_WORDS[party].toLowerCase()))];
  return names.length === 0 ? 'Nobody answers for it yet.' : `The ${names.join(' and the ')} would answer for it.`;
}

/** Facts that somebody may have learnt since the inspection. What stays on "as before" is not changed. */
export function KnownNow({ act, trouble }: ActProps): ReactNode {
  return (
    <details>
      <summary>Facts that are known now</summary>
      <div className="grid">
        <Choose
          id={`${act}-packaging`}
          name="packaging"
          label="Packaging"
          none="As before"
          options={[
            ['kept', 'Kept'],
            ['thrown away', 'Thrown away'],
            ['not known', 'Not known'],
          ]}
        />
        <Choose
          id={`${act}-steps`}
          name="steps"
          label="Steps of the guide followed"
          none="As before"
          options={[
            ['yes', 'Yes'],
            ['no', 'No'],
          ]}
        />
        <TextLine
          id={`${act}-repairs`}
          name="repairs"
          label="Failed repairs so far"
          trouble={trouble}
          inputMode="numeric"
          short
          max={2}
        />
      </div>
    </details>
  );
}
