/** Environment variables by name. */
export type Environment = Readonly<Record<string, string | undefined>>;

/** Reads single settings and collects what is wrong with them, so that all faults are told at once. */
export class SettingsReader {
  readonly faults: string[] = [];

  constructor(private readonly env: Environment) {}

  fault(sentence: string): void {
    this.faults.push(sentence);
  }

  /** An empty variable counts as absent. */
  text(name: string): string | undefined {
    const value = this.env[name]?.trim();
    return value === undefined || value === '' ? undefined : value;
  }

  oneOf<T extends string>(name: string, allowed: readonly T[], otherwise: T): T {
    const value = this.text(name);
    if (value === undefined) return otherwise;
    const found = allowed.find((each) => each === value);
    if (found === undefined) this.fault(`${name} is "${value}"; it must be one of ${allowed.join(', ')}.`);
    return found ?? otherwise;
  }

  whole(name: string, range: { readonly from: number; readonly to: number; readonly otherwise: number }): number {
    const value = this.text(name);
    if (value === undefined) return range.otherwise;
    const n = /^\d{1,9}$/.test(value) ? Number(value) : Number.NaN;
    if (n >= range.from && n <= range.to) return n;
    this.fault(`${name} is "${value}"; it must be a whole number from ${range.from} to ${range.to}.`);
    return range.otherwise;
  }

  /** The value is never repeated in the fault: a connection string holds a password. */
  url(name: string, protocols: readonly string[]): URL | undefined {
    const value = this.text(name);
    if (value === undefined) return undefined;
    const url = URL.canParse(value) ? new URL(value) : undefined;
    if (url !== undefined && protocols.includes(url.protocol)) return url;
    this.fault(`${name} must be a full address that starts with ${protocols.map((p) => `${p}//`).join(' or ')}.`);
    return undefined;
  }

  /** Faults every name that begins with AS_NOTED_ and is not one of ours. */
  unknownNames(known: ReadonlySet<string>): void {
    for (const name of Object.keys(this.env)) {
      if (name.startsWith('AS_NOTED_') && !known.has(name)) {
        this.fault(`${name} is not a setting of this service. Correct its spelling or remove it.`);
      }
    }
  }
}
