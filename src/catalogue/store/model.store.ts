import { randomUUID } from 'node:crypto';
import { Injectable } from '@nestjs/common';
import { In, type EntityManager } from 'typeorm';
import { COMPONENTS } from '../../kernel/vocabulary.js';
import type { Model, StoredModel } from '../catalogue.contract.js';
import { ModelPartRow, ModelRow, ModelWarrantyRow } from './model.entity.js';

/** Product models with their parts and warranty terms, read and written as one thing. */
@Injectable()
export class ModelStore {
  async bySku(tx: EntityManager, tenant: string, sku: string): Promise<StoredModel | undefined> {
    const row = await tx.findOneBy(ModelRow, { tenantId: tenant, sku });
    return row === null ? undefined : (await this.complete(tx, tenant, [row]))[0];
  }

  async byId(tx: EntityManager, tenant: string, id: string): Promise<StoredModel | undefined> {
    const row = await tx.findOneBy(ModelRow, { tenantId: tenant, id });
    return row === null ? undefined : (await this.complete(tx, tenant, [row]))[0];
  }

  /** Models in order of their codes. @param after the last code of the page before */
  async page(tx: EntityManager, tenant: string, after: string | undefined, limit: number): Promise<ModelRow[]> {
    const query = tx.createQueryBuilder(ModelRow, 'm').where('m.tenantId = :tenant', { tenant });
    if (after !== undefined) query.andWhere('m.sku > :after', { after });
    return query.orderBy('m.sku').limit(limit).getMany();
  }

  /** @returns the new model's id */
  async insert(tx: EntityManager, tenant: string, model: Model): Promise<string> {
    const id = randomUUID();
    await tx.insert(ModelRow, { id, tenantId: tenant, ...columnsOf(model) });
    await this.insertTree(tx, tenant, id, model);
    return id;
  }

  /** Replaces a model when it is still at the version given. @returns false when somebody changed it meanwhile */
  async replace(tx: EntityManager, tenant: string, stored: StoredModel, model: Model): Promise<boolean> {
    const { id, version } = stored;
    const changed = await tx.update(
      ModelRow,
      { tenantId: tenant, id, version },
      { ...columnsOf(model), updatedAt: () => 'now()' },
    );
    if (changed.affected !== 1) return false;
    await tx.delete(ModelPartRow, { tenantId: tenant, modelId: id });
    await tx.delete(ModelWarrantyRow, { tenantId: tenant, modelId: id });
    await this.insertTree(tx, tenant, id, model);
    return true;
  }

  private async insertTree(tx: EntityManager, tenant: string, id: string, model: Model): Promise<void> {
    const keys = { tenantId: tenant, modelId: id };
    const parts = model.parts.map((part, position) => ({
      ...part,
      ...keys,
      position,
      parent: part.parent ?? null,
      inStock: part.inStock ?? null,
    }));
    if (parts.length > 0) await tx.insert(ModelPartRow, parts);
    const terms = model.warranty.map((term) => ({ ...term, ...keys }));
    if (terms.length > 0) await tx.insert(ModelWarrantyRow, terms);
  }

  private async complete(tx: EntityManager, tenant: string, rows: readonly ModelRow[]): Promise<StoredModel[]> {
    const own = { tenantId: tenant, modelId: In(rows.map((row) => row.id)) };
    const parts = await tx.find(ModelPartRow, { where: own, order: { position: 'ASC' } });
    const terms = await tx.find(ModelWarrantyRow, { where: own });
    return rows.map((row) => ({
      id: row.id,
      version: row.version,
      model: modelOf(
        row,
        parts.filter((part) => part.modelId === row.id),
        terms.filter((term) => term.modelId === row.id),
      ),
    }));
  }
}

function columnsOf(model: Model) {
  const { parts: _parts, warranty: _warranty, ...columns } = model;
  return columns;
}

function modelOf(row: ModelRow, parts: readonly ModelPartRow[], terms: readonly ModelWarrantyRow[]): Model {
  return {
    sku: row.sku,
    title: row.title,
    family: row.family,
    maker: row.maker,
    grossGrams: row.grossGrams,
    netGrams: row.netGrams,
    serialPattern: row.serialPattern,
    currency: row.currency,
    unitCostMinor: row.unitCostMinor,
    unitFreightMinor: row.unitFreightMinor,
    visitCostMinor: row.visitCostMinor,
    salvageBp: row.salvageBp,
    checklist: row.checklist,
    evidenceModel: row.evidenceModel,
    parts: parts.map((part) => ({
      number: part.number,
      title: part.title,
      component: part.component,
      ...(part.parent === null ? {} : { parent: part.parent }),
      pieces: part.pieces,
      priceMinor: part.priceMinor,
      freightMinor: part.freightMinor,
      massGrams: part.massGrams,
      customerFits: part.customerFits,
      failsAgainBp: part.failsAgainBp,
      ...(part.inStock === null ? {} : { inStock: part.inStock }),
      isSpare: part.isSpare,
    })),
    warranty: terms
      .toSorted((a, b) => COMPONENTS.indexOf(a.component) - COMPONENTS.indexOf(b.component))
      .map(({ component, fullMonths, proRataMonths }) => ({ component, fullMonths, proRataMonths })),
  };
}
