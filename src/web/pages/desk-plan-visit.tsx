import type { VNode } from 'preact';
import { text, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Choose, TextLine, TroubleNote } from './parts.js';

/** Lines for units on the form; a larger delivery is planned through the interface. */
export const UNIT_LINES = [0, 1, 2] as const;

export interface PlanVisitView {
  readonly onlooker: Onlooker;
  readonly retailers: readonly { readonly code: string; readonly name: string }[];
  readonly carriers: readonly { readonly code: string; readonly name: string }[];
  readonly models: readonly { readonly sku: string; readonly title: string; readonly currency: string }[];
  readonly visitId: string;
  readonly trouble?: Trouble | undefined;
  readonly typed?: Form | undefined;
}

const ZONES = [
  'America/New_York',
  'America/Chicago',
  'America/Denver',
  'America/Los_Angeles',
  'Europe/London',
  'Europe/Berlin',
  'Europe/Paris',
  'Europe/Madrid',
] as const;

/** Planning a visit. */
export function PlanVisit(view: PlanVisitView): VNode {
  const { typed, trouble } = view;
  const line = (name: string, label: string, more: Partial<Parameters<typeof TextLine>[0]> = {}) => (
    <TextLine id={name} name={name} label={label} value={text(typed, name)} trouble={trouble} {...more} />
  );
  return (
    <Office title="Plan a visit" onlooker={view.onlooker} at="/desk/visits">
      <div class="stack">
        <h1>Plan a visit</h1>
        <TroubleNote trouble={trouble} />
        <form method="post" action="/desk/visits" class="stack">
          <input type="hidden" name="id" value={view.visitId} />
          <section class="sheet">
            <h2>Order</h2>
            <div class="grid">
              <Choose
                id="retailer"
                name="retailer"
                label="Retailer"
                none="Choose"
                value={text(typed, 'retailer')}
                options={named(view.retailers)}
                trouble={trouble}
              />
              <Choose
                id="carrier"
                name="carrier"
                label="Carrier"
                none="Choose"
                value={text(typed, 'carrier')}
                options={named(view.carriers)}
                trouble={trouble}
              />
              {line('reference', 'Order number', { required: true, max: 100 })}
              {line('placedOn', 'Placed on', { type: 'date', required: true })}
              {line('currency', 'Currency', { required: true, max: 3, hint: 'Like USD' })}
              {line('price', 'Price paid', {
                required: true,
                inputmode: 'decimal',
                max: 30,
                hint: 'Without tax and delivery, like 1299.00',
              })}
              {line('tax', 'Tax', { required: true, inputmode: 'decimal', max: 30 })}
              {line('delivery', 'Delivery fee', { required: true, inputmode: 'decimal', max: 30 })}
            </div>
          </section>
          <section class="sheet">
            <h2>Where and when</h2>
            <div class="grid">
              {line('street', 'Street and number', { required: true, max: 200 })}
              {line('place', 'Town', { required: true, max: 100 })}
              {line('postcode', 'Postcode', { required: true, max: 20 })}
              {line('country', 'Country', { required: true, max: 6, hint: 'Like DE, or US-OH with the state' })}
              <Choose
                id="zone"
                name="zone"
                label="Time zone of the place"
                none="Choose"
                value={text(typed, 'zone')}
                options={ZONES.map((zone) => [zone, zone.replaceAll('_', ' ')] as const)}
                trouble={trouble}
              />
              {line('from', 'From', { type: 'datetime-local', required: true })}
              {line('to', 'To', { type: 'datetime-local', required: true })}
              {line('crewSize', 'People in the crew', {
                required: true,
                inputmode: 'numeric',
                max: 2,
                hint: 'Two carry a motorised unit',
              })}
              <Choose
                id="condition"
                name="condition"
                label="When the carrier took it over, it was"
                value={text(typed, 'condition') || 'not known'}
                options={[
                  ['clean', 'clean'],
                  ['exceptions', 'with exceptions noted'],
                  ['not known', 'not known'],
                ]}
              />
            </div>
          </section>
          <section class="sheet">
            <h2>Units</h2>
            {UNIT_LINES.map((n) => (
              <div class="grid">
                <Choose
                  id={`sku-${n}`}
                  name={`sku-${n}`}
                  label={`Model of unit ${n + 1}`}
                  none={n === 0 ? 'Choose' : 'No further unit'}
                  value={text(typed, `sku-${n}`)}
                  options={view.models.map(
                    ({ sku, title, currency }) => [sku, `${title} (${sku}, ${currency})`] as const,
                  )}
                  trouble={trouble}
                />
                {line(`serial-${n}`, `Serial number of unit ${n + 1}`, { max: 64 })}
              </div>
            ))}
          </section>
          <button class="go">Plan the visit</button>
        </form>
      </div>
    </Office>
  );
}

function named(companies: readonly { readonly code: string; readonly name: string }[]): (readonly [string, string])[] {
  return companies.map(({ code, name }) => [code, name] as const);
}
