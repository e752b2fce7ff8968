import type { ReactNode } from 'react';
import { moneyDecimal } from '../../../kernel/money.js';
import { moneyExample, readMoney } from '../../domain/money-words.js';
import type { RecoveryActName } from '../../domain/recovery-acts.js';
import type { Recovery } from '../api/recoveries.js';
import { Trouble } from '../api/http.js';
import { Choose, TextBox, TextLine } from '../parts/fields.js';

interface FormProps {
  readonly recovery: Recovery;
  readonly trouble: Trouble | undefined;
}

interface ActForm {
  readonly title: string;
  readonly button: string;
  readonly tone?: 'go' | 'no';
  readonly fields: (props: FormProps) => ReactNode;
}

/** An amount in the recovery's currency. */
function Sum(
  props: FormProps & {
    readonly act: string;
    readonly label: string;
    readonly value?: string;
    readonly optional?: true;
  },
): ReactNode {
  const { recovery, act, label, value, optional, trouble } = props;
  const hint = `Like ${moneyExample(recovery.currency)}${optional === true ? '. Left empty: all that is still owed.' : ''}`;
  return (
    <TextLine
      id={`${act}-amountMinor`}
      name="amountMinor"
      label={`${label} (${recovery.currency})`}
      hint={hint}
      value={value ?? ''}
      inputMode="decimal"
      required={optional !== true}
      short
      max={30}
      trouble={trouble}
    />
  );
}

function owed({ outstandingMinor, currency }: Recovery): string {
  return moneyDecimal({ amountMinor: Math.max(0, outstandingMinor), currency });
}

/** Every act on a recovery with what it asks for. */
export const RECOVERY_FORMS: Readonly<Record<RecoveryActName, ActForm>> = {
  sending: {
    title: 'Send the demand',
    button: 'It is sent',
    tone: 'go',
    fields: ({ trouble }) => (
      <>
        <TextBox id="sending-words" name="words" label="A remark, if there is one" trouble={trouble} />
        <TextBox
          id="sending-despite"
          name="despite"
          label="Why it goes out although something is missing"
          hint="Only where the list of what a claim must contain is not complete. At least ten characters."
          trouble={trouble}
        />
      </>
    ),
  },
  acknowledgment: {
    title: 'They acknowledged it',
    button: 'Note it',
    tone: 'go',
    fields: ({ trouble }) => (
      <TextLine id="ack-reference" name="reference" label="Their number for it" required max={120} trouble={trouble} />
    ),
  },
  offers: {
    title: 'They made an offer',
    button: 'Note the offer',
    fields: (props) => (
      <>
        <Sum {...props} act="offers" label="Offered" />
        <TextBox id="offers-words" name="words" label="What they said" trouble={props.trouble} />
      </>
    ),
  },
  payments: {
    title: 'Money came in',
    button: 'Book the payment',
    tone: 'go',
    fields: (props) => (
      <>
        <Sum {...props} act="payments" label="Received" value={owed(props.recovery)} />
        <TextLine
          id="payments-reference"
          name="reference"
          label="Reference of the bank"
          required
          max={120}
          trouble={props.trouble}
        />
      </>
    ),
  },
  salvage: {
    title: 'The goods were sold',
    button: 'Credit it',
    fields: (props) => (
      <>
        <Sum {...props} act="salvage" label="They fetched" />
        <TextLine
          id="salvage-reference"
          name="reference"
          label="Reference of the sale"
          required
          max={120}
          trouble={props.trouble}
        />
      </>
    ),
  },
  decline: {
    title: 'They declined',
    button: 'Note it',
    fields: ({ trouble }) => (
      <TextBox id="decline-words" name="words" label="The reasons that they gave" required trouble={trouble} />
    ),
  },
  'write-off': {
    title: 'Write it off',
    button: 'Write it off',
    tone: 'no',
    fields: (props) => (
      <>
        <Sum {...props} act="write-off" label="How much" optional />
        <TextBox
          id="write-off-reason"
          name="reason"
          label="Why"
          hint="It stands in the file for good. At least ten characters."
          required
          trouble={props.trouble}
        />
      </>
    ),
  },
  particulars: {
    title: 'Add what is known of the carriage',
    button: 'Add it',
    fields: ({ recovery: { particulars }, trouble }) => (
      <>
        <TextLine
          id="particulars-shipment"
          name="shipmentReference"
          label="Bill of lading, waybill or progressive number"
          value={particulars.shipmentReference ?? ''}
          max={64}
          trouble={trouble}
        />
        <Choose
          id="particulars-notice"
          name="noticeBy"
          label="Who gave written notice of the damage"
          none="Not known"
          value={particulars.noticeBy ?? ''}
          options={[
            ['consignee', 'Whoever received the goods'],
            ['sender', 'Whoever sent them'],
          ]}
          trouble={trouble}
        />
        <Choose
          id="particulars-estimate"
          name="amountIsEstimate"
          label="The amount is"
          none="As before"
          options={[
            ['false', 'definite'],
            ['true', 'an estimate'],
          ]}
          trouble={trouble}
        />
        <TextBox id="particulars-words" name="words" label="In words" trouble={trouble} />
      </>
    ),
  },
};

/**
 * What was typed as the body of the request; empty fields are left out.
 * @throws Trouble where an amount is none
 */
export function bodyOf(form: FormData, currency: string): Readonly<Record<string, unknown>> {
  const typed = [...form].flatMap(([name, value]) =>
    typeof value === 'string' && value.trim() !== '' ? [[name, value.trim()] as const] : [],
  );
  return Object.fromEntries(
    typed.flatMap(([name, value]): (readonly [string, unknown])[] => {
      if (name === 'amountIsEstimate') return [[name, value === 'true']];
      if (name !== 'amountMinor') return [[name, value]];
      const amountMinor = readMoney(value, currency);
      if (amountMinor !== undefined) return [[name, amountMinor] as const, ['currency', currency] as const];
      const detail = `This is not an amount in ${currency}. Write it like ${moneyExample(currency)}.`;
      throw new Trouble(400, 'invalid-request', 'Something in the form needs another look.', detail, [
        { pointer: '#/amountMinor', detail },
      ]);
    }),
  );
}
