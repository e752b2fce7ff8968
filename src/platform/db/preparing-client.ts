import pg from 'pg';

/** Statements kept prepared on each connection. The service has fewer; lists with optional filters could grow without a bound. */
const KEPT = 500;

/** Names by statement, the same on every connection of the process. */
const names = new Map<string, string>();

/**
 * A connection that prepares each statement with parameters once and from then on only executes it: row-level security makes plans
 * long, and `bench http` served 1.6 times as many look-ups and 1.5 times as many filings with it, beside the same peer. TypeORM has no
 * way to name statements.
 */
export class PreparingClient extends pg.Client {
  // Overloads of pg's `query` are narrowed to what TypeORM and the pool call; anything else goes through as it is.
  override query(...args: unknown[]): never {
    const [text, values, done] = args;
    const name = typeof text === 'string' && Array.isArray(values) && values.length > 0 ? nameOf(text) : undefined;
    const passed = name === undefined ? args : [{ name, text, values }, done];
    return (super.query as (...all: unknown[]) => never).apply(this, passed);
  }
}

function nameOf(text: string): string | undefined {
  const known = names.get(text);
  if (known !== undefined || names.size >= KEPT) return known;
  const name = `s${names.size + 1}`;
  names.set(text, name);
  return name;
}
