import type { ReactNode } from 'react';
import { OVERRIDE_REASONS } from '../../../claims/claims.contract.js';
import type { ClaimAct } from '../../domain/claim-acts.js';
import { moneyExample } from '../../domain/money-words.js';
import { sentenceCase } from '../../domain/trade-words.js';
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

/** An amount in the claim's currency. */
export function Amount(props: ActProps & { readonly label: string; readonly value?: string }): ReactNode {
  const { currency } = props.view.claim;
  return (
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
  );
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
