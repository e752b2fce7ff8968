import { COMPONENTS, FAMILIES } from '../../kernel/vocabulary.js';
import type { Model, Part, WarrantyTerm } from '../../catalogue/catalogue.contract.js';
import { flag, list, may, must, object, oneOf, text, whole, type Read } from './json-reading.js';
import { currency, documentRef, MOST_MINOR } from './read-values.js';

const MOST_GRAMS = 1_000_000;

/** Stock-keeping codes, part numbers and serials. */
export const tradeCode = text({
  most: 64,
  pattern: /^[A-Za-z0-9](?:[A-Za-z0-9 ._/-]*[A-Za-z0-9])?$/,
  says: 'a code of letters, digits, spaces, dots, slashes and hyphens',
});

const part = object<Part>({
  number: must(tradeCode),
  title: must(text()),
  component: must(oneOf(COMPONENTS)),
  parent: may(tradeCode),
  pieces: must(whole(1, 1_000)),
  priceMinor: must(whole(0, MOST_MINOR)),
  freightMinor: must(whole(0, MOST_MINOR)),
  massGrams: must(whole(0, MOST_GRAMS)),
  customerFits: must(flag),
  failsAgainBp: must(whole(0, 10_000)),
  inStock: may(flag),
  isSpare: must(flag),
});

const warrantyTerm = object<WarrantyTerm>({
  component: must(oneOf(COMPONENTS)),
  fullMonths: must(whole(0, 1_200)),
  proRataMonths: must(whole(0, 1_200)),
});

/** Reads the shape of one catalogue model. What its parts mean together is judged by the catalogue. */
export const readModel: Read<Model> = object<Model>({
  sku: must(tradeCode),
  title: must(text()),
  family: must(oneOf(FAMILIES)),
  maker: must(text()),
  grossGrams: must(whole(1, MOST_GRAMS)),
  netGrams: must(whole(1, MOST_GRAMS)),
  serialPattern: must(text()),
  currency: must(currency),
  unitCostMinor: must(whole(1, MOST_MINOR)),
  unitFreightMinor: must(whole(0, MOST_MINOR)),
  visitCostMinor: must(whole(0, MOST_MINOR)),
  salvageBp: must(whole(0, 10_000)),
  checklist: must(documentRef),
  evidenceModel: must(documentRef),
  parts: must(list(part, 500)),
  warranty: must(list(warrantyTerm, COMPONENTS.length)),
});

/** A catalogue file: models by stock-keeping code. */
export interface CatalogueFile {
  readonly format: 'catalogue/1';
  readonly models: readonly Model[];
}

/** Reads the shape of a catalogue file. */
export const readCatalogueShape: Read<CatalogueFile> = object<CatalogueFile>({
  format: must(oneOf(['catalogue/1'])),
  models: must(list(readModel, 10_000)),
});
