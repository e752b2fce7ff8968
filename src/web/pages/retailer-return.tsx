import type { VNode } from 'preact';
import type { VisitFacts } from '../../inspections/inspections.contract.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Choose, TextBox, TextLine, TroubleNote } from './parts.js';

export interface ReturnPageView {
  readonly onlooker: Onlooker;
  readonly find: string;
  readonly visits: readonly VisitFacts[];
  readonly claimId: string;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

/** Opening a return for a unit of one's own deliveries. */
export function RetailerReturn(view: ReturnPageView): VNode {
  const { typed, trouble, visits, find } = view;
  return (
    <Office title="Open a return" onlooker={view.onlooker} at="/claims" narrow>
      <div class="stack">
        <h1>Open a return</h1>
        <p class="quiet">
          For a unit that comes back whole: a change of mind, or the wrong item. Damage is claimed by the crew.
        </p>
        <TroubleNote trouble={trouble} />
        <form class="find" role="search" action="/claims/new">
          <TextLine id="find" name="find" label="Order number or serial number" type="search" value={find} max={80} />
          <button>Find the unit</button>
        </form>
        {find !== '' && visits.length === 0 ? (
          <p>No delivery of yours fits “{find}”. Check the number on the order.</p>
        ) : null}
        {visits.map((visit) => (
          <form method="post" action="/claims" class="sheet stack">
            <h2>Order {visit.order.reference}</h2>
            <input type="hidden" name="id" value={view.claimId} />
            <input type="hidden" name="visit" value={visit.id} />
            <input type="hidden" name="find" value={find} />
            <Choose
              id={`serial-${visit.id}`}
              name="serial"
              label="Unit"
              value={text(typed, 'serial')}
              options={visit.units.map(({ serial, title }) => [serial, `${title}, ${serial}`] as const)}
              trouble={trouble}
            />
            <Choose
              id={`why-${visit.id}`}
              name="why"
              label="Why it comes back"
              none="Choose"
              value={text(typed, 'why')}
              options={[
                ['change of mind', 'Change of mind'],
                ['wrong item', 'Wrong item'],
              ]}
              trouble={trouble}
            />
            <TextBox
              id={`words-${visit.id}`}
              name="words"
              label="In your words"
              value={text(typed, 'words')}
              trouble={trouble}
            />
            <button class="go">Open the return</button>
          </form>
        ))}
        <Caution />
      </div>
    </Office>
  );
}
