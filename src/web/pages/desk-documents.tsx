import type { VNode } from 'preact';
import type { Model } from '../../catalogue/catalogue.contract.js';
import { showMoney } from '../domain/money-words.js';
import { showDate } from '../domain/time-words.js';
import { sentenceCase } from '../domain/trade-words.js';
import { Office, type Onlooker } from './layout.js';
import { Caution, Facts, Mark } from './parts.js';

/** A version of a policy as the list shows it. */
export interface PolicyLine {
  readonly code: string;
  readonly version: number;
  readonly title: string;
  readonly jurisdiction: string;
  readonly effectiveFrom: string;
  readonly publishedAt: string | null;
}

/** Every version of every policy. */
export function DeskPolicies({
  onlooker,
  policies,
}: {
  readonly onlooker: Onlooker;
  readonly policies: readonly PolicyLine[];
}): VNode {
  return (
    <Office title="Policies" onlooker={onlooker} at="/desk/policies">
      <div class="stack">
        <h1>Policies</h1>
        <p class="quiet">What decides who answers and what the customer gets. A published version never changes.</p>
        {policies.length === 0 ? (
          <p class="lead">
            There is no policy yet. Without one no claim can be assessed; policy owners draft and publish them.
          </p>
        ) : (
          <table class="queue cards">
            <caption class="away">Policies</caption>
            <thead>
              <tr>
                <th scope="col">Policy</th>
                <th scope="col">Place</th>
                <th scope="col">In force from</th>
                <th scope="col">State</th>
              </tr>
            </thead>
            <tbody>
              {policies.map(({ code, version, title, jurisdiction, effectiveFrom, publishedAt }) => (
                <tr>
                  <th scope="row">
                    <a href={`/desk/policies/${code}/${version}`}>{title}</a>
                    <span class="sub">
                      {code}, version {version}
                    </span>
                  </th>
                  <td data-label="Place">{jurisdiction}</td>
                  <td data-label="In force from">{showDate(effectiveFrom)}</td>
                  <td>
                    {publishedAt === null ? (
                      <Mark shape="ring" tone="plainly" says="Draft" />
                    ) : (
                      <Mark shape="square" tone="ok" says="Published" />
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <Caution />
      </div>
    </Office>
  );
}

/** A model as the list shows it. */
export interface ModelLine {
  readonly sku: string;
  readonly title: string;
  readonly family: string;
  readonly maker: string;
}

/** The catalogue. */
export function DeskModels({
  onlooker,
  models,
}: {
  readonly onlooker: Onlooker;
  readonly models: readonly ModelLine[];
}): VNode {
  return (
    <Office title="Models" onlooker={onlooker} at="/desk/models">
      <div class="stack">
        <h1>Models</h1>
        {models.length === 0 ? (
          <p class="lead">The catalogue is empty. An administrator adds models through the interface.</p>
        ) : null}
        <table class="queue cards">
          <caption class="away">Models</caption>
          <thead>
            <tr>
              <th scope="col">Model</th>
              <th scope="col">Family</th>
              <th scope="col">Maker</th>
            </tr>
          </thead>
          <tbody>
            {models.map(({ sku, title, family, maker }) => (
              <tr>
                <th scope="row">
                  <a href={`/desk/models/${encodeURIComponent(sku)}`}>{title}</a>
                  <span class="sub nums">{sku}</span>
                </th>
                <td data-label="Family">{sentenceCase(family)}</td>
                <td data-label="Maker">{maker}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Office>
  );
}

/** One model: what it is made of, what parts cost, what the warranty promises. */
export function DeskModel({ onlooker, model }: { readonly onlooker: Onlooker; readonly model: Model }): VNode {
  const money = (minor: number) => showMoney(minor, model.currency);
  return (
    <Office title={model.title} onlooker={onlooker} at="/desk/models">
      <div class="head">
        <div>
          <p class="quiet">
            <a href="/desk/models">Models</a>
          </p>
          <h1>{model.title}</h1>
          <p>
            <span class="nums">{model.sku}</span> · {sentenceCase(model.family)} by {model.maker}
          </p>
        </div>
      </div>
      <section class="sheet">
        <h2>Unit</h2>
        <Facts
          of={[
            ['Packed mass', kilograms(model.grossGrams)],
            ['Mass of the unit', kilograms(model.netGrams)],
            ['Serial numbers look like', <code>{model.serialPattern}</code>],
            ['A unit costs', `${money(model.unitCostMinor)}, freight ${money(model.unitFreightMinor)}`],
            ['A repair visit costs', money(model.visitCostMinor)],
            ['Salvage', `${model.salvageBp / 100} % of the cost`],
            ['Checklist', model.checklist],
            ['Evidence model', model.evidenceModel],
          ]}
        />
      </section>
      <section class="sheet">
        <h2>Parts</h2>
        <div class="scroll" tabIndex={0} role="region" aria-label="Parts">
          <table>
            <thead>
              <tr>
                <th scope="col">Part</th>
                <th scope="col">Component</th>
                <th scope="col" class="amount">
                  Pieces
                </th>
                <th scope="col" class="amount">
                  Price
                </th>
                <th scope="col" class="amount">
                  Freight
                </th>
                <th scope="col">Fits</th>
                <th scope="col">Stock</th>
              </tr>
            </thead>
            <tbody>
              {model.parts.map((part) => (
                <tr>
                  <th scope="row">
                    {part.title}
                    <span class="sub nums">
                      {part.number}
                      {part.isSpare ? ' · spare' : ''}
                    </span>
                  </th>
                  <td>{sentenceCase(part.component)}</td>
                  <td class="amount">{part.pieces}</td>
                  <td class="amount">{money(part.priceMinor)}</td>
                  <td class="amount">{money(part.freightMinor)}</td>
                  <td>{part.customerFits ? 'Customer' : 'Technician'}</td>
                  <td>{part.inStock === undefined ? 'Not known' : part.inStock ? 'In stock' : 'Out of stock'}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </section>
      <section class="sheet">
        <h2>Warranty of the maker</h2>
        <table>
          <thead>
            <tr>
              <th scope="col">Component</th>
              <th scope="col">In full</th>
              <th scope="col">Then pro rata</th>
            </tr>
          </thead>
          <tbody>
            {model.warranty.map(({ component, fullMonths, proRataMonths }) => (
              <tr>
                <th scope="row">{sentenceCase(component)}</th>
                <td>{fullMonths} months</td>
                <td>{proRataMonths === 0 ? 'None' : `${proRataMonths} months`}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <Caution />
      </section>
    </Office>
  );
}

function kilograms(grams: number): string {
  return `${(grams / 1000).toFixed(1)} kg`;
}
