import type * as Real from '../../crew-app/keep/database.js';
import type { Kept, Settings } from '../../crew-app/keep/database.js';

// In place of the phone's store: the same shelves for as long as the page is open, and nothing on any disk.
export * from '../../crew-app/keep/database.js';

type Row = Readonly<Record<string, unknown>>;

/** Shelves and the field that names a row; empty where the name is given beside it. */
const KEYS = { visits: 'id', facts: 'id', photos: 'id', claims: 'id', owed: 'key', bytes: '', settings: '' } as const;
type Shelf = keyof typeof KEYS;
const NAMES = Object.keys(KEYS) as readonly Shelf[];

const shelves = new Map<Shelf, Map<string, unknown>>(NAMES.map((name) => [name, new Map()]));

function shelf(name: Shelf): Map<string, unknown> {
  return shelves.get(name) ?? new Map();
}

/** Takes everything off, but what is known about the phone itself. */
export function forgetAll(): void {
  for (const name of NAMES) if (name !== 'settings') shelf(name).clear();
}

function only(name: Shelf, field: string, value: string): readonly (readonly [string, unknown])[] {
  return [...shelf(name)].filter(([, row]) => (row as Row)[field] === value);
}

/** One shelf as IndexedDB would show it, as far as the crew's app asks. */
function store(name: Shelf) {
  return {
    get: async (key: string) => shelf(name).get(key),
    getAll: async () => [...shelf(name).values()],
    put: async (row: unknown, key?: string) => {
      shelf(name).set(key ?? String((row as Row)[KEYS[name]]), row);
    },
    delete: async (key: string) => {
      shelf(name).delete(key);
    },
    index: (field: string) => ({
      getAll: async (value: string) => only(name, field, value).map(([, row]) => row),
      getAllKeys: async (value: string) => only(name, field, value).map(([key]) => key),
    }),
  };
}

const shelved = {
  get: (name: Shelf, key: string) => store(name).get(key),
  getAll: (name: Shelf) => store(name).getAll(),
  getAllFromIndex: (name: Shelf, field: string, value: string) => store(name).index(field).getAll(value),
  put: (name: Shelf, row: unknown, key?: string) => store(name).put(row, key),
  delete: (name: Shelf, key: string) => store(name).delete(key),
  transaction: (names: Shelf | readonly Shelf[]) => ({
    objectStore: store,
    store: store(typeof names === 'string' ? names : (names[0] ?? 'settings')),
    done: Promise.resolve(),
  }),
};

// Only what the crew's app calls is there; the type of the whole store has much more.
const kept = shelved as unknown as Kept;

export const database: typeof Real.database = async () => kept;
export const withStore: typeof Real.withStore = async (work) => work(kept);
export const keepsThings: typeof Real.keepsThings = async () => true;
export const setting: typeof Real.setting = async <K extends keyof Settings>(name: K) =>
  shelf('settings').get(name) as Settings[K] | undefined;
export const remember: typeof Real.remember = async (name, value) => {
  shelf('settings').set(name, value);
};
