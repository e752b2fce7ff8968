import { pointer, type Fault } from '../../kernel/outcome.js';

/** Levels of nesting that a body may have; far more than any of ours needs, far less than what exhausts the stack. */
const DEEPEST = 80;

/**
 * What no body may hold, wherever in it: nesting that would exhaust the stack of whoever walks it, numbers that JSON text can write but
 * not a double (1e999), and halves of surrogate pairs, which have no canonical form (RFC 8785 section 3.2.2.2).
 * @returns the first such place, or undefined
 */
export function bodyFault(value: unknown, at = '#', levels = DEEPEST): Fault | undefined {
  if (typeof value === 'string') return value.isWellFormed() ? undefined : brokenText(at);
  if (typeof value === 'number') {
    return Number.isFinite(value) ? undefined : { pointer: at, detail: 'The number is too large.' };
  }
  if (typeof value !== 'object' || value === null) return undefined;
  if (levels === 0) return { pointer: '#', detail: `The body is nested deeper than ${DEEPEST} levels.` };
  for (const [name, inner] of Object.entries(value)) {
    const fault = name.isWellFormed() ? bodyFault(inner, pointer(at, name), levels - 1) : brokenText(at);
    if (fault !== undefined) return fault;
  }
  return undefined;
}

function brokenText(at: string): Fault {
  return { pointer: at, detail: 'The text holds half a character (a lone surrogate).' };
}
