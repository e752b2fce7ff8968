/** Whether two JSON values are equal, whatever the order of their keys. */
export function sameJson(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const [left, right] = [new Map<string, unknown>(Object.entries(a)), new Map<string, unknown>(Object.entries(b))];
  return (
    left.size === right.size && [...left].every(([key, value]) => right.has(key) && sameJson(value, right.get(key)))
  );
}
