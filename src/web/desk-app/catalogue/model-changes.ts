import { NEW_MODEL, readTyped, typedModel, type TypedModel } from './model-form.js';

const WORDS: Readonly<Record<keyof TypedModel, string>> = {
  sku: 'code',
  title: 'name',
  family: 'kind',
  maker: 'maker',
  grossGrams: 'mass of the carton',
  netGrams: 'mass of the unit',
  serialPattern: 'pattern of serial numbers',
  currency: 'currency',
  unitCostMinor: 'cost of a unit',
  unitFreightMinor: 'freight',
  visitCostMinor: 'cost of a visit',
  salvageBp: 'what is left of a returned unit',
  checklist: 'checklist',
  evidenceModel: 'evidence model',
  parts: 'parts',
  warranty: 'warranty',
};

/** Names of the fields in which two states of a model differ; an amount that is written in another way does not. */
export function changedFields(before: TypedModel, after: TypedModel): readonly string[] {
  const names = Object.keys(NEW_MODEL) as readonly (keyof TypedModel)[];
  return names
    .filter((name) => JSON.stringify(plain(before)[name]) !== JSON.stringify(plain(after)[name]))
    .map((name) => WORDS[name]);
}

function plain(typed: TypedModel): TypedModel {
  const { model } = readTyped(typed);
  return model === undefined ? typed : typedModel(model);
}
