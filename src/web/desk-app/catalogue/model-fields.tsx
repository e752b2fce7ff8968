import { useState, type ReactNode } from 'react';
import { COMPONENTS, FAMILIES } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';
import { withEntry } from '../parts/document-edits.js';
import { useEditing } from '../parts/editing.js';
import { EntryButtons } from '../parts/entry-buttons.js';
import { ChooseAt, FlagAt, TextAt } from '../parts/fields-at.js';
import { NEW_PART, NEW_TERM, type TypedModel, type TypedPart } from './model-form.js';

const COMPONENT_OPTIONS = COMPONENTS.map((component) => [component, sentenceCase(component)] as const);

/** Every field of a model. @param isNew its code and currency can still be written; afterwards they never change */
export function ModelFields({ isNew }: { readonly isNew: boolean }): ReactNode {
  const { document } = useEditing<TypedModel>();
  return (
    <>
      <section className="sheet stack">
        <h2>The unit</h2>
        <div className="grid">
          {isNew ? <TextAt at="#/sku" label="Code" hint="Unique in this house; it never changes." max={60} /> : null}
          <TextAt at="#/title" label="Name" max={200} />
          <TextAt at="#/maker" label="Maker" max={200} />
          <ChooseAt
            at="#/family"
            label="Kind"
            options={FAMILIES.map((family) => [family, sentenceCase(family)] as const)}
          />
          <TextAt at="#/grossGrams" label="Packed carton (kg)" max={12} mode="decimal" short />
          <TextAt at="#/netGrams" label="Unit alone (kg)" max={12} mode="decimal" short />
          <TextAt
            at="#/serialPattern"
            label="Pattern of serial numbers"
            hint="From ^ to $, such as ^KR[0-9]{8}$. Numbers that crews scan are compared with it."
            max={200}
          />
          <TextAt at="#/checklist" label="Code of the checklist" max={60} />
          <TextAt at="#/evidenceModel" label="Code of the evidence model" max={60} />
        </div>
      </section>
      <section className="sheet stack">
        <h2>What it costs</h2>
        <div className="grid">
          {isNew ? <TextAt at="#/currency" label="Currency" hint="ISO 4217; it never changes." max={3} short /> : null}
          <TextAt
            at="#/unitCostMinor"
            label={`Replacement unit (${document.currency})`}
            max={20}
            mode="decimal"
            short
          />
          <TextAt
            at="#/unitFreightMinor"
            label={`Freight both ways (${document.currency})`}
            max={20}
            mode="decimal"
            short
          />
          <TextAt
            at="#/visitCostMinor"
            label={`One repair visit (${document.currency})`}
            max={20}
            mode="decimal"
            short
          />
          <TextAt at="#/salvageBp" label="Left of a returned unit (%)" max={6} mode="decimal" short />
        </div>
      </section>
      <PartsFields typed={document} />
      <WarrantyFields typed={document} />
    </>
  );
}

function PartsFields({ typed }: { readonly typed: TypedModel }): ReactNode {
  const { edit } = useEditing<TypedModel>();
  return (
    <section className="sheet stack" id="#/parts" tabIndex={-1}>
      <h2>Parts and packing list</h2>
      {typed.parts.map((part, index) => (
        // oxlint-disable-next-line react/no-array-index-key -- a number changes while it is typed; the place is what lasts
        <PartFields key={index} part={part} index={index} typed={typed} />
      ))}
      <button type="button" className="little" onClick={() => edit((draft) => withEntry(draft, '#/parts', NEW_PART))}>
        Add a part
      </button>
    </section>
  );
}

interface PartFieldsProps {
  readonly part: TypedPart;
  readonly index: number;
  readonly typed: TypedModel;
}

function PartFields({ part, index, typed }: PartFieldsProps): ReactNode {
  const { faults } = useEditing<TypedModel>();
  const [open, setOpen] = useState(part.number === '');
  const at = `#/parts/${index}`;
  const wrong = faults.filter(({ pointer }) => pointer.startsWith(`${at}/`)).length;
  return (
    <details className="act" id={at} open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
      <summary>
        {part.title === '' ? 'New part' : part.title} <span className="quiet nums">{part.number}</span>
        {wrong === 0 ? null : <span className="bad"> · {wrong === 1 ? '1 fault' : `${wrong} faults`}</span>}
      </summary>
      <div className="stack">
        <PartGrid at={at} part={part} typed={typed} />
        <div className="row">
          <FlagAt at={`${at}/isSpare`} label={`The spare that is sent for the ${part.component}`} />
          <FlagAt
            at={`${at}/customerFits`}
            label="The customer can fit it without opening a motor, supply or battery"
          />
          <EntryButtons
            list="#/parts"
            index={index}
            length={typed.parts.length}
            what={part.title === '' ? `part ${index + 1}` : part.title}
            keepEmpty
          />
        </div>
      </div>
    </details>
  );
}

interface PartGridProps {
  readonly at: string;
  readonly part: TypedPart;
  readonly typed: TypedModel;
}

function PartGrid({ at, part, typed }: PartGridProps): ReactNode {
  const others = typed.parts.filter(({ number }) => number !== '' && number !== part.number);
  return (
    <div className="grid">
      <TextAt at={`${at}/number`} label="Part number" max={60} />
      <TextAt at={`${at}/title`} label="Name of the part" max={200} />
      <ChooseAt at={`${at}/component`} label="Component" options={COMPONENT_OPTIONS} />
      <ChooseAt
        at={`${at}/parent`}
        label="Belongs to"
        options={[['', 'Nothing'], ...others.map(({ number, title }) => [number, `${title} (${number})`] as const)]}
      />
      <TextAt at={`${at}/pieces`} label="Pieces in the carton" max={6} mode="numeric" short />
      <TextAt at={`${at}/priceMinor`} label={`Price (${typed.currency})`} max={20} mode="decimal" short />
      <TextAt at={`${at}/freightMinor`} label={`Freight (${typed.currency})`} max={20} mode="decimal" short />
      <TextAt at={`${at}/massGrams`} label="Mass (kg)" max={12} mode="decimal" short />
      <TextAt
        at={`${at}/failsAgainBp`}
        label="Fails again within a year (%)"
        hint="An estimate."
        max={6}
        mode="decimal"
        short
      />
      <ChooseAt
        at={`${at}/inStock`}
        label="Stock"
        options={[
          ['', 'Not known'],
          ['yes', 'In stock'],
          ['no', 'Out of stock'],
        ]}
      />
    </div>
  );
}

function WarrantyFields({ typed }: { readonly typed: TypedModel }): ReactNode {
  const { edit } = useEditing<TypedModel>();
  const free = COMPONENTS.find((component) => !typed.warranty.some((term) => term.component === component));
  return (
    <section className="sheet stack" id="#/warranty" tabIndex={-1}>
      <h2>Maker’s warranty</h2>
      <p className="quiet">Months from delivery: first in full, then by what is left.</p>
      {typed.warranty.map((term, index) => (
        // oxlint-disable-next-line react/no-array-index-key -- a component can be chosen anew; the place is what lasts
        <div key={index} className="row top" role="group" aria-label={`Warranty of the ${term.component}`}>
          <ChooseAt at={`#/warranty/${index}/component`} label="Component" options={COMPONENT_OPTIONS} />
          <TextAt at={`#/warranty/${index}/fullMonths`} label="Full cover (months)" max={3} mode="numeric" short />
          <TextAt
            at={`#/warranty/${index}/proRataMonths`}
            label="Then pro rata (months)"
            max={3}
            mode="numeric"
            short
          />
          <EntryButtons
            list="#/warranty"
            index={index}
            length={typed.warranty.length}
            what={`warranty of the ${term.component}`}
            keepEmpty
          />
        </div>
      ))}
      {free === undefined ? null : (
        <button
          type="button"
          className="little"
          onClick={() => edit((draft) => withEntry(draft, '#/warranty', { ...NEW_TERM, component: free }))}
        >
          Add a warranty
        </button>
      )}
    </section>
  );
}
