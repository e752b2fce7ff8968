/** Results of a pure function of one plain value, kept because the same few values come again and again. */
export class Remembered<K extends string | number | boolean | null, V> {
  private readonly kept = new Map<K, V>();

  /** @param most entries kept; a full memory starts afresh, so that no stream of different values can make it grow */
  constructor(
    private readonly most: number,
    private readonly work: (of: K) => V,
  ) {}

  /** The result for a value. What `work` throws is not kept. */
  of(value: K): V {
    const known = this.kept.get(value);
    if (known !== undefined) return known;
    const fresh = this.work(value);
    if (this.kept.size >= this.most) this.kept.clear();
    this.kept.set(value, fresh);
    return fresh;
  }
}
