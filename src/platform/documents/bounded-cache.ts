/** Keeps the values used last, at most so many. For things that are made from content and named by its hash. */
export class BoundedCache<Value> {
  private readonly values = new Map<string, Value>();

  constructor(private readonly most: number) {}

  /** The value under a key, made when it is not there. */
  get(key: string, make: () => Value): Value {
    const known = this.values.get(key);
    const value = known ?? make();
    // A Map keeps the order of insertion, so putting a value back makes it the newest.
    if (known !== undefined) this.values.delete(key);
    this.values.set(key, value);
    const oldest = this.values.keys().next();
    if (this.values.size > this.most && oldest.done !== true) this.values.delete(oldest.value);
    return value;
  }
}
