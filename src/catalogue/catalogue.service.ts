import { Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import type { Actor } from '../access/access.contract.js';
import { Database } from '../platform/db/database.js';
import { onConstraint } from '../platform/db/database-errors.js';
import { scopeOf } from '../platform/http/caller.js';
import { pageOf, pageSize, readCursor, type Page, type PageQuery } from '../platform/http/pages.js';
import { Invalid, Refused } from '../platform/http/problems.js';
import type { VersionMatch } from '../platform/http/versions.js';
import { modelFaults, type Model, type StoredModel } from './catalogue.contract.js';
import type { ModelRow } from './store/model.entity.js';
import { ModelStore } from './store/model.store.js';

/** Product models of a tenant: what units are made of, what parts cost and what the warranty promises. */
@Injectable()
export class CatalogueService {
  constructor(
    private readonly db: Database,
    private readonly models: ModelStore,
  ) {}

  /** One page of models in order of their codes. */
  async list(actor: Actor, query: PageQuery): Promise<Page<ModelRow>> {
    const size = pageSize(query);
    const after = readCursor(query, 't')?.[0];
    const rows = await this.db.inTenant(scopeOf(actor), (tx) =>
      this.models.page(tx, actor.tenant, after === undefined ? undefined : String(after), size + 1),
    );
    return pageOf(
      rows,
      size,
      (row) => [row.sku],
      (row) => row,
    );
  }

  /** @throws Refused `not-found` */
  async read(actor: Actor, sku: string): Promise<StoredModel> {
    return this.db.inTenant(scopeOf(actor), (tx) => this.demand(tx, actor.tenant, sku));
  }

  /** Adds a model. @throws Invalid with every fault of the model; Refused `model-exists` */
  async create(actor: Actor, model: Model): Promise<StoredModel> {
    demandSound(model);
    return this.db.inTenant(scopeOf(actor), async (tx) => ({
      id: await this.insert(tx, actor.tenant, model),
      version: 1,
      model,
    }));
  }

  /** Replaces a model at the version that the client has seen. @throws Invalid; Refused `not-found`, `version-changed` */
  async replace(actor: Actor, sku: string, match: VersionMatch, model: Model): Promise<StoredModel> {
    if (model.sku !== sku) {
      throw new Invalid([
        { pointer: '#/sku', detail: `The code of a model never changes; it is ${sku} at this address.` },
      ]);
    }
    demandSound(model);
    return this.db.inTenant(scopeOf(actor), async (tx) => {
      const stored = await this.demand(tx, actor.tenant, sku);
      match.demand(stored.version);
      demandSameCurrency(stored.model, model);
      if (!(await this.models.replace(tx, actor.tenant, stored, model))) {
        throw new Refused('version-changed', 'Somebody else changed the model at the same moment. Read it again.');
      }
      return { id: stored.id, version: stored.version + 1, model };
    });
  }

  /** @param tenant uuid @returns undefined when the tenant has no model of that code */
  async findBySku(tx: EntityManager, tenant: string, sku: string): Promise<StoredModel | undefined> {
    return this.models.bySku(tx, tenant, sku);
  }

  /** The model of a code, for work that cannot go on without it. @throws Refused `unknown-model` */
  async modelBySku(tx: EntityManager, tenant: string, sku: string): Promise<Model> {
    const stored = await this.models.bySku(tx, tenant, sku);
    if (stored === undefined)
      throw new Refused('unknown-model', `The catalogue has no model ${sku.slice(0, 60)}. Add it first.`);
    return stored.model;
  }

  /** @param tenant uuid @param id uuid of the model */
  async modelById(tx: EntityManager, tenant: string, id: string): Promise<StoredModel | undefined> {
    return this.models.byId(tx, tenant, id);
  }

  /**
   * Adds models that the tenant does not have yet; those it has stay as they are.
   * @returns how many were added
   * @throws Invalid when a model is unsound
   */
  async loadModels(tx: EntityManager, tenant: string, models: readonly Model[]): Promise<number> {
    let added = 0;
    for (const model of models) {
      demandSound(model);
      if ((await this.models.bySku(tx, tenant, model.sku)) !== undefined) continue;
      await this.insert(tx, tenant, model);
      added += 1;
    }
    return added;
  }

  private async demand(tx: EntityManager, tenant: string, sku: string): Promise<StoredModel> {
    const stored = await this.models.bySku(tx, tenant, sku);
    if (stored === undefined) throw new Refused('not-found', `There is no model ${sku.slice(0, 60)} in the catalogue.`);
    return stored;
  }

  private async insert(tx: EntityManager, tenant: string, model: Model): Promise<string> {
    return onConstraint(this.models.insert(tx, tenant, model), {
      model_tenant_id_sku_key: () =>
        new Refused('model-exists', `The catalogue has a model ${model.sku} already. Change that one.`),
    });
  }
}

/** Orders and claims hold amounts in the currency that the model had when they came about. */
function demandSameCurrency(before: Model, after: Model): void {
  if (before.currency === after.currency) return;
  const detail = `The currency of a model never changes; it is ${before.currency}. Add a model for the other market instead.`;
  throw new Invalid([{ pointer: '#/currency', detail }]);
}

function demandSound(model: Model): void {
  const faults = modelFaults(model);
  if (faults.length > 0) throw new Invalid(faults);
}
