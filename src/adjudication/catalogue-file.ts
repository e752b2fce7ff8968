import { modelFaults, type Model } from '../catalogue/catalogue.contract.js';
import { bad, good, pointer, type Fault, type Outcome } from '../kernel/outcome.js';
import { readCatalogueShape } from './domain/read-model.js';

/**
 * Reads a catalogue file (`catalogue/1`) that has been parsed from JSON: the shape of every model and what its parts mean together.
 * Every fault is named at once, with a JSON pointer.
 */
export function readCatalogueFile(json: unknown): Outcome<readonly Model[]> {
  const faults: Fault[] = [];
  const catalogue = readCatalogueShape(json, '#', faults);
  if (catalogue === undefined || faults.length > 0) return bad(...faults);
  const seen = new Set<string>();
  catalogue.models.forEach((model, index) => {
    const at = pointer('#/models', index);
    if (seen.has(model.sku)) faults.push({ pointer: `${at}/sku`, detail: `The model ${model.sku} occurs twice.` });
    seen.add(model.sku);
    for (const fault of modelFaults(model)) faults.push({ pointer: at + fault.pointer.slice(1), detail: fault.detail });
  });
  return faults.length > 0 ? bad(...faults) : good(catalogue.models);
}
