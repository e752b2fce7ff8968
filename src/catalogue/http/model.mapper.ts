import { plainBody } from '../../platform/http/plain-body.js';
import type { Model } from '../catalogue.contract.js';
import type { ModelRow } from '../store/model.entity.js';
import type { ModelBody, ModelSummary } from './model.dto.js';

/** A request body as a plain model: nothing but declared fields, absent ones left out. */
export function toModel(body: ModelBody): Model {
  return plainBody(body);
}

/** A row as a list shows it. */
export function toModelSummary(row: ModelRow): ModelSummary {
  const { sku, title, family, maker, currency, version, updatedAt } = row;
  return { sku, title, family, maker, currency, version, updatedAt };
}
