import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { serialMatches, type StoredModel } from '../catalogue/catalogue.contract.js';
import { CatalogueService } from '../catalogue/catalogue.service.js';
import type { Fault } from '../kernel/outcome.js';
import type { Receipt } from '../kernel/vocabulary.js';
import { Clock } from '../platform/clock.js';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { scopeOf } from '../platform/http/caller.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import type { Address, CustodyRecord, VisitFacts, VisitOrder } from './inspections.contract.js';
import { VisitReadModel, type VisitFilter } from './store/visit.read-model.js';
import { VisitStore } from './store/visit.store.js';
import { windowFaults } from './visit-faults.js';

/** A visit as somebody plans it. */
export interface VisitWish {
  /** Code of the retailer; absent: the caller's own. */
  readonly retailer?: string;
  /** Code of the carrier. */
  readonly carrier: string;
  readonly order: VisitOrder;
  readonly address: Address;
  /** Absent: the country of the address. */
  readonly jurisdiction?: string;
  readonly zone: string;
  readonly windowFrom: string;
  readonly windowTo: string;
  readonly crewSize: number;
  readonly custody: readonly CustodyRecord[];
  readonly units: readonly { readonly sku: string; readonly serial: string }[];
}

/** What the delivery receipt says. */
export interface ReceiptWish {
  readonly kind: Receipt;
  /** The words on it, as they were written: also "subject to inspection", which notes nothing in particular. */
  readonly words?: string;
  /** RFC 3339 instant */
  readonly deliveredAt: string;
}

/** How far a phone's clock may run ahead. Common practice. */
const CLOCK_AHEAD = { minutes: 10 };

/** Visits: planned by the desk or a retailer's system, received by the crew. */
@Injectable()
export class VisitsService {
  constructor(
    private readonly db: Database,
    private readonly clock: Clock,
    private readonly catalogue: CatalogueService,
    private readonly store: VisitStore,
    private readonly reading: VisitReadModel,
  ) {}

  /**
   * Plans a visit.
   * @param id uuid, where the caller has made one
   * @throws Invalid naming every fault, also `unknown-model` and `amount-currency-differs`; Refused `visit-exists`
   */
  async plan(actor: Actor, wish: VisitWish, id: string = randomUUID()): Promise<VisitFacts> {
    const faults = windowFaults(wish);
    if (faults.length > 0) throw new Invalid(faults);
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const { retailerId, carrierId } = await this.companies(tx, actor, wish);
      const models = await this.models(tx, actor.tenant, wish);
      const { units, order, retailer: _retailer, carrier: _carrier, jurisdiction, ...rest } = wish;
      const { reference, ...line } = order;
      const visit = {
        id,
        tenantId: actor.tenant,
        retailerId,
        carrierId,
        orderReference: reference,
        jurisdiction: jurisdiction ?? wish.address.country,
        ...line,
        ...rest,
      };
      const rows = units.map((unit, index) => ({
        id: randomUUID(),
        tenantId: actor.tenant,
        visitId: id,
        modelId: models[index]?.id ?? '',
        serial: unit.serial,
      }));
      await onConstraint(this.store.insert(tx, visit, rows), {
        visit_tenant_id_retailer_id_order_reference_key: () =>
          new Refused(
            'visit-exists',
            `Order ${reference} of this retailer has a visit already. Look it up in the list of visits.`,
          ),
      });
      return this.demand(tx, actor.tenant, id);
    });
  }

  /** One page of visits, the newest window first. */
  async list(actor: Actor, query: PageQuery & VisitFilter): Promise<Page<VisitFacts>> {
    const size = pageSize(query);
    const key = readCursor(query, 'iu');
    const after = key && { windowFrom: String(key[0]), id: String(key[1]) };
    const visits = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.reading.page(tx, actor.tenant, { find: query.find, stage: query.stage }, after, size + 1),
    );
    return pageOf(
      visits,
      size,
      (visit) => [visit.windowFrom, visit.id],
      (visit) => visit,
    );
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, id: string): Promise<VisitFacts> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.demand(tx, actor.tenant, id));
  }

  /** Notes what the receipt says, or corrects it. @throws Invalid; Refused `not-found`, `version-changed` */
  async receive(actor: Actor, id: string, match: VersionMatch, receipt: ReceiptWish): Promise<VisitFacts> {
    const faults = this.receiptFaults(receipt);
    if (faults.length > 0) throw new Invalid(faults);
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const visit = await this.store.find(tx, actor.tenant, id);
      if (visit === null) throw noVisit();
      match.demand(visit.version);
      const columns = {
        receipt: receipt.kind,
        receiptWords: receipt.words ?? null,
        deliveredAt: receipt.deliveredAt,
      };
      if (!(await this.store.receive(tx, visit, columns))) {
        throw new Refused('version-changed', 'Somebody else noted a receipt at the same moment. Read the visit again.');
      }
      return this.demand(tx, actor.tenant, id);
    });
  }

  private async demand(tx: EntityManager, tenant: string, id: string): Promise<VisitFacts> {
    const visit = await this.reading.one(tx, tenant, id);
    if (visit === undefined) throw noVisit();
    return visit;
  }

  private async companies(
    tx: EntityManager,
    actor: Actor,
    wish: VisitWish,
  ): Promise<{ readonly retailerId: string; readonly carrierId: string }> {
    const { retailer, carrier } = wish;
    const retailerId =
      retailer === undefined ? actor.retailer : await this.store.companyId(tx, actor.tenant, 'retailer', retailer);
    const carrierId = await this.store.companyId(tx, actor.tenant, 'carrier', carrier);
    if (retailerId !== undefined && carrierId !== undefined) return { retailerId, carrierId };
    const faults: Fault[] = [];
    if (retailerId === undefined) {
      const detail =
        retailer === undefined ? 'Say for which retailer.' : `There is no retailer with the code ${retailer}.`;
      faults.push({ pointer: '#/retailer', detail });
    }
    if (carrierId === undefined) {
      faults.push({ pointer: '#/carrier', detail: `There is no carrier with the code ${carrier}.` });
    }
    throw new Invalid(faults);
  }

  private async models(tx: EntityManager, tenant: string, wish: VisitWish): Promise<StoredModel[]> {
    const found: StoredModel[] = [];
    const unknown: Fault[] = [];
    for (const [index, { sku }] of wish.units.entries()) {
      const stored = await this.catalogue.findBySku(tx, tenant, sku);
      if (stored === undefined) {
        unknown.push({ pointer: `#/units/${index}/sku`, detail: `The catalogue has no model ${sku}. Add it first.` });
      } else found.push(stored);
    }
    if (unknown.length > 0) throw new Invalid(unknown, 'unknown-model');
    demandOneCurrency(wish, found);
    demandSerials(wish, found);
    return found;
  }

  private receiptFaults(receipt: ReceiptWish): Fault[] {
    const faults: Fault[] = [];
    if (receipt.kind === 'exceptions noted' && receipt.words === undefined) {
      faults.push({ pointer: '#/words', detail: 'Write down what was noted on the receipt, word for word.' });
    }
    const latest = this.clock.now().add(CLOCK_AHEAD);
    if (Temporal.Instant.compare(Temporal.Instant.from(receipt.deliveredAt), latest) > 0) {
      faults.push({
        pointer: '#/deliveredAt',
        detail: 'The delivery cannot lie in the future. Check the clock of the phone.',
      });
    }
    return faults;
  }
}

function demandOneCurrency(wish: VisitWish, models: readonly StoredModel[]): void {
  const other = models.find(({ model }) => model.currency !== wish.order.currency);
  if (other === undefined) return;
  const { sku, currency } = other.model;
  const detail = `The order is in ${wish.order.currency}, but ${sku} is sold in ${currency}. Use one currency.`;
  throw new Invalid([{ pointer: '#/order/currency', detail }], 'amount-currency-differs');
}

function demandSerials(wish: VisitWish, models: readonly StoredModel[]): void {
  const faults: Fault[] = [];
  const seen = new Set<string>();
  for (const [index, { sku, serial }] of wish.units.entries()) {
    const pointer = `#/units/${index}/serial`;
    const pattern = models[index]?.model.serialPattern ?? '^$';
    if (!serialMatches(pattern, serial)) {
      faults.push({ pointer, detail: `${serial} is not a serial number of ${sku}, which look like ${pattern}.` });
    } else if (seen.has(serial.toUpperCase())) {
      faults.push({ pointer, detail: `The serial number ${serial} occurs twice.` });
    }
    seen.add(serial.toUpperCase());
  }
  if (faults.length > 0) throw new Invalid(faults);
}

function noVisit(): Refused {
  return new Refused('not-found', 'There is no such visit.');
}
