import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { Model, Part } from '../../../catalogue/catalogue.contract.js';
import { showMoney } from '../../domain/money-words.js';
import { sentenceCase, showShare } from '../../domain/trade-words.js';
import { Facts } from '../parts/parts.js';
import { newestOf, useChecklists } from '../checklists/checklists-data.js';
import { showGrams, treeOf } from './component-tree.js';

/** What a model is, to be read: facts, packing list with prices, warranty. */
export function ModelRead({ model }: { readonly model: Model }): ReactNode {
  const money = (amountMinor: number): string => showMoney(amountMinor, model.currency);
  return (
    <>
      <div className="case">
        <section className="sheet">
          <h2>The unit</h2>
          <Facts
            of={[
              ['Maker', model.maker],
              ['Kind', sentenceCase(model.family)],
              ['Packed carton', showGrams(model.grossGrams)],
              ['Unit alone', showGrams(model.netGrams)],
              ['Serial numbers', <code key="s">{model.serialPattern}</code>],
              ['Checklist', <ChecklistLink key="c" code={model.checklist} />],
              [
                'Evidence model',
                <span key="e" className="nums">
                  {model.evidenceModel}
                </span>,
              ],
            ]}
          />
        </section>
        <section className="sheet says">
          <h2>What it costs</h2>
          <Facts
            of={[
              ['Replacement unit', money(model.unitCostMinor)],
              ['Freight both ways', money(model.unitFreightMinor)],
              ['One repair visit', money(model.visitCostMinor)],
              ['Left of a returned unit', showShare(model.salvageBp)],
            ]}
          />
        </section>
      </div>
      <section className="sheet stack">
        <h2>Parts and packing list</h2>
        {model.parts.length === 0 ? (
          <p className="quiet">No parts are listed. Without them nothing can be counted or sent as a spare.</p>
        ) : (
          <Parts model={model} money={money} />
        )}
      </section>
      <section className="sheet stack">
        <h2>Maker’s warranty</h2>
        {model.warranty.length === 0 ? (
          <p className="quiet">The maker promises nothing here.</p>
        ) : (
          <Warranty model={model} />
        )}
      </section>
    </>
  );
}

function ChecklistLink({ code }: { readonly code: string }): ReactNode {
  const newest = newestOf(useChecklists().data ?? [], code);
  if (newest === undefined) return <span className="nums">{code}</span>;
  return (
    <Link to="/checklists/$id/$version" params={{ id: code, version: String(newest.version) }}>
      {newest.title}
    </Link>
  );
}

function Parts({
  model,
  money,
}: {
  readonly model: Model;
  readonly money: (amountMinor: number) => string;
}): ReactNode {
  return (
    <div className="scroll" role="region" aria-label="Parts and packing list" tabIndex={0}>
      <table className="parts">
        <caption className="away">Parts and packing list</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col">Component</th>
            <th scope="col" className="amount">
              Pieces
            </th>
            <th scope="col" className="amount">
              Price
            </th>
            <th scope="col" className="amount">
              Freight
            </th>
            <th scope="col" className="amount">
              Mass
            </th>
            <th scope="col">Fitted by</th>
            <th scope="col" className="amount">
              Fails again
            </th>
            <th scope="col">Stock</th>
          </tr>
        </thead>
        <tbody>
          {treeOf(model.parts).map(({ part, depth }) => (
            <tr key={part.number}>
              <th scope="row" className={`depth-${Math.min(depth, 3)}`}>
                {part.title}
                <span className="sub nums">
                  {part.number}
                  {part.isSpare ? ` · the spare for the ${part.component}` : ''}
                </span>
              </th>
              <td>{sentenceCase(part.component)}</td>
              <td className="amount">{part.pieces}</td>
              <td className="amount">{money(part.priceMinor)}</td>
              <td className="amount">{money(part.freightMinor)}</td>
              <td className="amount">{showGrams(part.massGrams)}</td>
              <td>{part.customerFits ? 'Customer' : 'Technician'}</td>
              <td className="amount">{showShare(part.failsAgainBp)}</td>
              <td>{stockWords(part)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function stockWords({ inStock }: Part): string {
  return inStock === undefined ? 'Not known' : inStock ? 'In stock' : 'Out of stock';
}

function Warranty({ model }: { readonly model: Model }): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Maker’s warranty, in months from delivery</caption>
      <thead>
        <tr>
          <th scope="col">Component</th>
          <th scope="col">Full cover</th>
          <th scope="col">Then pro rata</th>
        </tr>
      </thead>
      <tbody>
        {model.warranty.map(({ component, fullMonths, proRataMonths }) => (
          <tr key={component}>
            <th scope="row">{sentenceCase(component)}</th>
            <td data-label="Full cover">{fullMonths} months</td>
            <td data-label="Then pro rata">{proRataMonths === 0 ? 'None' : `${proRataMonths} months more`}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
