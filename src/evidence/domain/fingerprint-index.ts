import { bitsSet } from './fingerprint.js';
import { FINGERPRINT_BYTES, MOST_QUERIES, SCAN_LAYOUT, scanOver, type Scan } from './fingerprint-scan.js';

/** One fingerprint near one that was asked for. */
export interface Neighbour {
  /** Number under which it was added. */
  readonly no: number;
  /** Bits of 256. */
  readonly distance: number;
  /** Which of the fingerprints asked for it is nearest to. */
  readonly query: number;
}

export interface IndexSize {
  readonly fingerprints: number;
  /** Of the linear memory and the numbers, whether filled yet or not. */
  readonly bytes: number;
}

/** Fingerprints of a block, which belongs to one tenant for good: what is scanned for one tenant never holds another's. */
const BLOCK = 4096;
const BLOCK_BYTES = BLOCK * FINGERPRINT_BYTES;
const PAGE_BYTES = 65_536;
/** Queries and finds lie before it: 1,024 bytes and at most 4,096 finds of four bytes. */
const BLOCKS_AT = PAGE_BYTES;
/** WebAssembly's own bound of four gigabytes: 134 million fingerprints. */
const MOST_PAGES = 65_536;

interface Block {
  readonly at: number;
  readonly numbers: Float64Array;
  filled: number;
}

interface Shelf {
  readonly blocks: Block[];
  last: number;
}

/**
 * Fingerprints of many tenants in memory, 40 bytes each, searched exactly: every one of the tenant's is compared. It holds nothing that
 * the database does not; it can be thrown away and filled again.
 */
export class FingerprintIndex {
  private readonly memory = new WebAssembly.Memory({ initial: BLOCKS_AT / PAGE_BYTES, maximum: MOST_PAGES });
  private readonly scans = new Map<number, Scan>();
  private readonly shelves = new Map<string, Shelf>();
  private free = BLOCKS_AT;
  private blocks = 0;

  /** The highest number that was added for a tenant; 0 before the first. */
  lastOf(tenant: string): number {
    return this.shelves.get(tenant)?.last ?? 0;
  }

  /** How many fingerprints a tenant has here. */
  countOf(tenant: string): number {
    return (this.shelves.get(tenant)?.blocks ?? []).reduce((sum, { filled }) => sum + filled, 0);
  }

  /**
   * Adds fingerprints of one tenant. What is not above the tenant's last number is there already and is passed over.
   * @param numbers rising
   * @param fingerprints 32 bytes each, one after another
   * @throws RangeError when lengths do not fit, or memory has run out
   */
  add(tenant: string, numbers: readonly number[], fingerprints: Uint8Array): void {
    if (fingerprints.length !== numbers.length * FINGERPRINT_BYTES) {
      throw new RangeError('each number has one fingerprint of 32 bytes');
    }
    const shelf = this.shelfOf(tenant);
    numbers.forEach((no, at) => {
      if (no <= shelf.last) return;
      const block = this.openBlock(shelf);
      const start = at * FINGERPRINT_BYTES;
      new Uint8Array(this.memory.buffer, block.at + block.filled * FINGERPRINT_BYTES, FINGERPRINT_BYTES).set(
        fingerprints.subarray(start, start + FINGERPRINT_BYTES),
      );
      block.numbers[block.filled] = no;
      block.filled += 1;
      shelf.last = no;
    });
  }

  /**
   * Every fingerprint of the tenant within `limit` bits of one that is asked for, nearest first, then the older.
   * @param queries 1 to 16 fingerprints of 32 bytes
   * @param most finds to keep
   */
  search(tenant: string, queries: readonly Uint8Array[], limit: number, most: number): Neighbour[] {
    if (queries.length > MOST_QUERIES)
      throw new RangeError(`at most ${MOST_QUERIES} fingerprints are asked for at once`);
    const shelf = this.shelves.get(tenant);
    if (!shelf || queries.length === 0) return [];
    const scan = this.scanFor(queries.length);
    const whole = new Uint8Array(this.memory.buffer);
    queries.forEach((query, at) => whole.set(query, SCAN_LAYOUT.queriesAt + at * FINGERPRINT_BYTES));
    const words = queries.map(wordsOf);
    const found: Neighbour[] = [];
    for (const block of shelf.blocks) {
      const count = scan(block.at, block.at + block.filled * FINGERPRINT_BYTES, limit);
      for (const address of new Uint32Array(this.memory.buffer, SCAN_LAYOUT.findsAt, count)) {
        const no = block.numbers[(address - block.at) / FINGERPRINT_BYTES] ?? 0;
        found.push({ no, ...nearest(new Uint32Array(this.memory.buffer, address, 8), words) });
      }
    }
    return found.sort((a, b) => a.distance - b.distance || a.no - b.no).slice(0, most);
  }

  get size(): IndexSize {
    const fingerprints = [...this.shelves.keys()].reduce((sum, tenant) => sum + this.countOf(tenant), 0);
    return { fingerprints, bytes: this.memory.buffer.byteLength + this.blocks * BLOCK * 8 };
  }

  private shelfOf(tenant: string): Shelf {
    const known = this.shelves.get(tenant);
    if (known) return known;
    const shelf: Shelf = { blocks: [], last: 0 };
    this.shelves.set(tenant, shelf);
    return shelf;
  }

  private openBlock(shelf: Shelf): Block {
    const last = shelf.blocks.at(-1);
    if (last && last.filled < BLOCK) return last;
    const missing = this.free + BLOCK_BYTES - this.memory.buffer.byteLength;
    // Grown by a sixteenth, so that growing stays rare; each time only pages that are written to are taken from the machine.
    if (missing > 0) this.memory.grow(Math.ceil(Math.max(missing, this.free / 16) / PAGE_BYTES));
    const block = { at: this.free, numbers: new Float64Array(BLOCK), filled: 0 };
    this.free += BLOCK_BYTES;
    this.blocks += 1;
    shelf.blocks.push(block);
    return block;
  }

  private scanFor(queries: number): Scan {
    const known = this.scans.get(queries) ?? scanOver(this.memory, queries);
    this.scans.set(queries, known);
    return known;
  }
}

function wordsOf(bytes: Uint8Array): Uint32Array {
  if (bytes.length !== FINGERPRINT_BYTES) throw new RangeError('a fingerprint has 32 bytes');
  return new Uint32Array(Uint8Array.from(bytes).buffer);
}

function nearest(one: Uint32Array, queries: readonly Uint32Array[]): { distance: number; query: number } {
  let best = { distance: 257, query: 0 };
  queries.forEach((words, query) => {
    const distance = words.reduce((sum, word, at) => sum + bitsSet(word ^ (one[at] ?? 0)), 0);
    if (distance < best.distance) best = { distance, query };
  });
  return best;
}
