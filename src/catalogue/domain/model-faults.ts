import { minorDigits } from '../../kernel/currency.js';
import { pointer, type Fault } from '../../kernel/outcome.js';
import type { Model, Part } from '../catalogue.contract.js';
import { serialPatternFault } from './serial-pattern.js';

/** Everything that is wrong with a well-shaped model beyond its types: masses, currency, serial pattern, component tree, warranty. */
export function modelFaults(model: Model): Fault[] {
  const faults: Fault[] = [];
  if (model.netGrams > model.grossGrams) {
    faults.push({ pointer: '#/netGrams', detail: 'The unit cannot weigh more than its packed carton.' });
  }
  if (minorDigits(model.currency) === undefined) {
    faults.push({ pointer: '#/currency', detail: `${model.currency} is not a currency of ISO 4217 with minor units.` });
  }
  const pattern = serialPatternFault(model.serialPattern);
  if (pattern !== undefined) faults.push({ pointer: '#/serialPattern', detail: `The serial pattern ${pattern}.` });
  return [...faults, ...treeFaults(model.parts), ...spareFaults(model.parts), ...warrantyFaults(model)];
}

function treeFaults(parts: readonly Part[]): Fault[] {
  const faults: Fault[] = [];
  const byNumber = new Map<string, Part>();
  parts.forEach((part, index) => {
    const here = pointer('#/parts', index);
    if (byNumber.has(part.number)) {
      faults.push({ pointer: `${here}/number`, detail: `Part number ${part.number} occurs twice.` });
    }
    byNumber.set(part.number, part);
  });
  parts.forEach((part, index) => {
    if (part.parent === undefined) return;
    const here = `${pointer('#/parts', index)}/parent`;
    if (!byNumber.has(part.parent)) {
      faults.push({ pointer: here, detail: `There is no part ${part.parent} for this part to belong to.` });
    } else if (isOwnAncestor(part, byNumber)) {
      faults.push({ pointer: here, detail: `Part ${part.number} would belong to itself.` });
    }
  });
  return faults;
}

function isOwnAncestor(part: Part, byNumber: ReadonlyMap<string, Part>): boolean {
  const seen = new Set<string>();
  for (let at = part.parent; at !== undefined && !seen.has(at); at = byNumber.get(at)?.parent) {
    if (at === part.number) return true;
    seen.add(at);
  }
  return false;
}

function spareFaults(parts: readonly Part[]): Fault[] {
  const spares = new Map<string, string>();
  const faults: Fault[] = [];
  parts.forEach((part, index) => {
    if (!part.isSpare) return;
    const first = spares.get(part.component);
    if (first === undefined) spares.set(part.component, part.number);
    else {
      faults.push({
        pointer: `${pointer('#/parts', index)}/isSpare`,
        detail: `Only one part can be the spare for the ${part.component}; it is already ${first}.`,
      });
    }
  });
  return faults;
}

function warrantyFaults(model: Model): Fault[] {
  return model.warranty.flatMap((term, index) =>
    model.warranty.findIndex((other) => other.component === term.component) === index
      ? []
      : [
          {
            pointer: `${pointer('#/warranty', index)}/component`,
            detail: `The warranty names the ${term.component} twice.`,
          },
        ],
  );
}
