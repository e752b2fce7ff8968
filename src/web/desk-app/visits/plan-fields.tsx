import type { ReactNode } from 'react';
import { TAKEN_OVER } from '../../domain/visit-form.js';
import type { Trouble } from '../api/http.js';
import type { usePlanning } from '../api/visits.js';
import { Choose, Field, TextLine } from '../parts/fields.js';

export type Planning = NonNullable<ReturnType<typeof usePlanning>['data']>;

interface PartProps {
  readonly trouble: Trouble | undefined;
}

function line(trouble: Trouble | undefined) {
  return (name: string, label: string, more: Partial<Parameters<typeof TextLine>[0]> = {}) => (
    <TextLine id={name} name={name} label={label} trouble={trouble} {...more} />
  );
}

/** Whose order it is and what was paid. */
export function OrderFields({ planning, trouble }: PartProps & { readonly planning: Planning }): ReactNode {
  const text = line(trouble);
  const named = (companies: Planning['retailers']) => companies.map(({ code, name }) => [code, name] as const);
  return (
    <section className="sheet">
      <h2>Order</h2>
      <div className="grid">
        <Choose
          id="retailer"
          name="retailer"
          label="Retailer"
          none="Choose"
          options={named(planning.retailers)}
          trouble={trouble}
        />
        <Choose
          id="carrier"
          name="carrier"
          label="Carrier"
          none="Choose"
          options={named(planning.carriers)}
          trouble={trouble}
        />
        {text('reference', 'Order number', { required: true, max: 100 })}
        {text('placedOn', 'Placed on', { type: 'date', required: true })}
        {text('currency', 'Currency', { required: true, max: 3, hint: 'Like USD' })}
        {text('price', 'Price paid', {
          required: true,
          inputMode: 'decimal',
          max: 30,
          hint: 'Without tax and delivery, like 1,299.00',
        })}
        {text('tax', 'Tax', { required: true, inputMode: 'decimal', max: 30 })}
        {text('delivery', 'Delivery fee', { required: true, inputMode: 'decimal', max: 30 })}
      </div>
    </section>
  );
}

/** The door, the window and who comes. */
export function PlaceFields({ trouble }: PartProps): ReactNode {
  const text = line(trouble);
  return (
    <section className="sheet">
      <h2>Where and when</h2>
      <div className="grid">
        {text('street', 'Street and number', { required: true, max: 200 })}
        {text('place', 'Town', { required: true, max: 100 })}
        {text('postcode', 'Postcode', { required: true, max: 20 })}
        {text('country', 'Country', { required: true, max: 6, hint: 'Like DE, or US-OH with the state' })}
        <Zone trouble={trouble} />
        {text('from', 'From', { type: 'datetime-local', required: true })}
        {text('to', 'To', { type: 'datetime-local', required: true })}
        {text('crewSize', 'People in the crew', {
          required: true,
          inputMode: 'numeric',
          max: 2,
          value: '2',
          hint: 'Two carry a motorised unit',
        })}
        <Choose
          id="condition"
          name="condition"
          label="When the carrier took it over, it was"
          value="not known"
          options={TAKEN_OVER.map((each) => [each, each === 'exceptions' ? 'with exceptions noted' : each] as const)}
        />
      </div>
    </section>
  );
}

/** The time zone of the place, any that the browser knows; the person's own stands there at first. */
function Zone({ trouble }: PartProps): ReactNode {
  const wrong = trouble?.faults.some(({ pointer }) => pointer === '#/zone') === true;
  return (
    <Field id="zone" name="zone" label="Time zone of the place" hint="Like America/Chicago" trouble={trouble}>
      <input
        id="zone"
        name="zone"
        list="zones"
        maxLength={64}
        defaultValue={Temporal.Now.timeZoneId()}
        autoComplete="off"
        aria-describedby={wrong ? 'zone-hint zone-wrong' : 'zone-hint'}
        {...(wrong ? { 'aria-invalid': true } : {})}
      />
      <datalist id="zones">
        {Intl.supportedValuesOf('timeZone').map((each) => (
          <option key={each} value={each} />
        ))}
      </datalist>
    </Field>
  );
}
