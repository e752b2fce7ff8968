import type { ReactNode } from 'react';
import { RECEIPTS } from '../../../kernel/vocabulary.js';
import { localField, readLocal } from '../../domain/time-words.js';
import { RECEIPT_WORDS } from '../../domain/trade-words.js';
import { useReceipt, type Visit } from '../api/visits.js';
import { Choose, TextBox, TextLine, TroubleNote } from '../parts/fields.js';

/** Notes what the delivery receipt says where the crew did not, or corrects it. */
export function ReceiptForm({ visit, onTaken }: { readonly visit: Visit; readonly onTaken: () => void }): ReactNode {
  const { note, noting, trouble } = useReceipt(visit, onTaken);
  const { receipt, zone } = visit;
  return (
    <form
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        const typed = new FormData(event.currentTarget);
        const word = (name: string): string => {
          const value = typed.get(name);
          return typeof value === 'string' ? value.trim() : '';
        };
        const words = word('words');
        const deliveredAt = readLocal(word('deliveredAt'), zone) ?? word('deliveredAt');
        note({ kind: word('kind'), ...(words === '' ? {} : { words }), deliveredAt });
      }}
    >
      <TroubleNote trouble={trouble} />
      <Choose
        id="receipt-kind"
        name="kind"
        label="The receipt is"
        value={receipt?.kind ?? ''}
        none="Choose"
        options={RECEIPTS.map((each) => [each, RECEIPT_WORDS[each]] as const)}
        trouble={trouble}
      />
      <TextBox
        id="receipt-words"
        name="words"
        label="Words on it"
        hint="As they were written, where something was noted"
        value={receipt?.words ?? ''}
        trouble={trouble}
      />
      <TextLine
        id="receipt-at"
        name="deliveredAt"
        label={`Handed over (${zone.replaceAll('_', ' ')})`}
        type="datetime-local"
        value={receipt === undefined ? '' : localField(receipt.deliveredAt, zone)}
        required
        short
        trouble={trouble}
      />
      <button disabled={noting}>{noting ? 'Sending…' : 'Note it'}</button>
    </form>
  );
}
