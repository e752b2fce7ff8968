import { readFileSync, readdirSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

/** Who may import whom, read from the import statements. The order is one line; docs/decisions says why. */
const ORDER = [
  'kernel',
  'platform',
  'access',
  'catalogue',
  'policies',
  'inspections',
  'evidence',
  'diagnosis',
  'adjudication',
  'claims',
  'returns',
  'recovery',
  'notices',
  'insight',
  'web',
] as const;

/** Code that starts programs: it may import anything, nothing imports it. */
const ROOTS = ['main', 'app.module', 'cli'];
/** What other modules may import of a module, by the end of the file name. Domain files may not even import these at run time. */
const PUBLIC = ['.contract', '.service', '.module', '.decorators'];

interface Import {
  readonly from: string;
  readonly to: string;
  readonly typeOnly: boolean;
}

const root = resolve(import.meta.dirname, '..');
const src = join(root, 'src');
const files = readdirSync(src, { recursive: true, encoding: 'utf8' })
  .filter((file) => /\.tsx?$/.test(file) && !/\.spec\.tsx?$/.test(file))
  .map((file) => file.replaceAll('\\', '/'));

/** Import and re-export statements of a source text: the specifier and whether nothing of it survives to run time. */
export function importsOf(text: string): { specifier: string; typeOnly: boolean }[] {
  const found: { specifier: string; typeOnly: boolean }[] = [];
  const pattern =
    /^\s*(import|export)\s+(type\s+)?([^'";]*?from\s*)?['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]\s*\)/gm;
  for (const match of text.matchAll(pattern)) {
    const specifier = match[4] ?? match[5];
    const clause = match[3] ?? '';
    const names = /\{([^}]*)\}/
      .exec(clause)?.[1]
      ?.split(',')
      .filter((name) => name.trim() !== '');
    const allTypes =
      names !== undefined &&
      names.length > 0 &&
      names.every((name) => name.trim().startsWith('type ')) &&
      !/^\s*\w+\s*,/.test(clause);
    if (specifier !== undefined) found.push({ specifier, typeOnly: match[2] !== undefined || allTypes });
  }
  return found;
}

const texts = new Map(files.map((file) => [file, readFileSync(join(src, file), 'utf8')]));
const inside: Import[] = [];
const outside: Import[] = [];
for (const [file, text] of texts) {
  for (const { specifier, typeOnly } of importsOf(text)) {
    if (!specifier.startsWith('.')) outside.push({ from: file, to: specifier, typeOnly });
    else {
      const target = relative(src, resolve(src, dirname(file), specifier)).replaceAll('\\', '/');
      inside.push({ from: file, to: target.replace(/\.js$/, ''), typeOnly });
    }
  }
}

const moduleOf = (path: string): string => path.split('/')[0]?.replace(/\.tsx?$/, '') ?? '';
const isRoot = (path: string): boolean => ROOTS.includes(moduleOf(path));
const isDomain = (path: string): boolean => path.split('/')[1] === 'domain';
const show = (list: readonly Import[]): string[] => list.map(({ from, to }) => `${from} → ${to}`);

describe('the house', () => {
  it('has every module of the order', () => {
    expect(ORDER.filter((name) => !files.some((file) => moduleOf(file) === name))).toEqual([]);
  });

  it('holds nothing but the modules of the order and the roots', () => {
    expect(
      [...new Set(files.map(moduleOf))].filter(
        (name) => !(ORDER as readonly string[]).includes(name) && !ROOTS.includes(name),
      ),
    ).toEqual([]);
  });

  it('imports only to the left', () => {
    const rank = (path: string): number => ORDER.indexOf(moduleOf(path) as (typeof ORDER)[number]);
    const wrong = inside.filter(
      ({ from, to }) => !isRoot(from) && !to.startsWith('..') && (isRoot(to) || rank(to) > rank(from)),
    );
    expect(show(wrong)).toEqual([]);
  });

  it('imports of another module only what it shows: contract, service, module, decorators', () => {
    const wrong = inside.filter(
      ({ from, to }) =>
        !isRoot(from) &&
        moduleOf(from) !== moduleOf(to) &&
        !['kernel', 'platform'].includes(moduleOf(to)) &&
        !PUBLIC.some((end) => to.endsWith(end)) &&
        !to.startsWith('../migrations'),
    );
    expect(show(wrong)).toEqual([]);
  });

  it('keeps domain files pure: kernel, their own domain, and types of contracts', () => {
    const wrong = inside.filter(
      ({ from, to, typeOnly }) =>
        isDomain(from) &&
        moduleOf(to) !== 'kernel' &&
        !(isDomain(to) && moduleOf(to) === moduleOf(from)) &&
        !(typeOnly && to.endsWith('.contract')),
    );
    expect(show(wrong)).toEqual([]);
    // decimal.js is arithmetic and hashing is a pure function: neither is a framework.
    expect(
      show(outside.filter(({ from, to }) => isDomain(from) && !['decimal.js', 'node:crypto'].includes(to))),
    ).toEqual([]);
  });

  it('keeps the kernel free of everything but arithmetic, hashing and canonical JSON', () => {
    expect(show(inside.filter(({ from, to }) => moduleOf(from) === 'kernel' && moduleOf(to) !== 'kernel'))).toEqual([]);
    expect(
      show(
        outside.filter(({ from, to }) => moduleOf(from) === 'kernel' && !['node:crypto', 'canonicalize'].includes(to)),
      ),
    ).toEqual([]);
  });

  it('gives domain and kernel no clock, chance, environment or files', () => {
    const impure =
      /\b(Date\.now|new Date\(\s*\)|Temporal\.Now|Math\.random|process\.|performance\.|random(UUID|Bytes|Int)|setTimeout)/;
    expect(
      files.filter((file) => (isDomain(file) || moduleOf(file) === 'kernel') && impure.test(texts.get(file) ?? '')),
    ).toEqual([]);
  });

  it('keeps contracts free of frameworks, all the way down', () => {
    const heavy =
      /^(@nestjs|typeorm|fastify|@fastify|pg$|pg-boss|sharp|class-validator|class-transformer|reflect-metadata|pino|rxjs)/;
    for (const contract of files.filter((file) => file.endsWith('.contract.ts'))) {
      const reached = reach(contract);
      expect(
        outside
          .filter(({ from, to, typeOnly }) => !typeOnly && reached.has(from) && heavy.test(to))
          .map(({ from, to }) => `${contract}: ${from} → ${to}`),
      ).toEqual([]);
    }
  });

  it('has no import cycle', () => {
    expect(cycles()).toEqual([]);
  });

  it('reads the environment in platform/config and in programs only', () => {
    const readers = files.filter((file) => /process\.env\b/.test(texts.get(file) ?? ''));
    expect(readers.filter((file) => !file.startsWith('platform/config/') && !isRoot(file))).toEqual([]);
  });

  it('has no barrels, default exports or nondescript names', () => {
    expect(files.filter((file) => /(^|\/)index\.tsx?$/.test(file))).toEqual([]);
    expect(files.filter((file) => /^export default/m.test(texts.get(file) ?? ''))).toEqual([]);
    expect(files.filter((file) => /(util|helper|common|misc|manager)s?[./]/.test(file))).toEqual([]);
  });
});

describe('the reader of imports', () => {
  it('tells types from values', () => {
    const text = [
      `import type { A } from './a.js';`,
      `import { type B, type C } from './b.js';`,
      `import { type D, e } from './d.js';`,
      `export { f } from './f.js';`,
      `import './g.js';`,
      `const h = await import('./h.js');`,
      `import {\n  type I,\n  j,\n} from './i.js';`,
    ].join('\n');
    expect(importsOf(text).map(({ specifier, typeOnly }) => `${specifier} ${typeOnly}`)).toEqual([
      './a.js true',
      './b.js true',
      './d.js false',
      './f.js false',
      './g.js false',
      './h.js false',
      './i.js false',
    ]);
  });
});

/** File that an import target names, with its real ending. */
function fileOf(target: string): string | undefined {
  return [`${target}.ts`, `${target}.tsx`, target].find((name) => texts.has(name));
}

/** Every file that is loaded when this one is, itself included. */
function reach(start: string): Set<string> {
  const seen = new Set([start]);
  const queue = [start];
  for (let file = queue.pop(); file !== undefined; file = queue.pop()) {
    for (const { from, to, typeOnly } of inside) {
      const target = from === file && !typeOnly ? fileOf(to) : undefined;
      if (target !== undefined && !seen.has(target)) {
        seen.add(target);
        queue.push(target);
      }
    }
  }
  return seen;
}

/** Strongly connected groups of more than one file over run-time imports (Tarjan), each as one line. */
function cycles(): string[] {
  const next = new Map<string, string[]>(files.map((file) => [file, []]));
  for (const { from, to, typeOnly } of inside) {
    const target = fileOf(to);
    if (!typeOnly && target !== undefined) next.get(from)?.push(target);
  }
  const order = new Map<string, number>();
  const low = new Map<string, number>();
  const stack: string[] = [];
  const groups: string[] = [];
  const visit = (file: string): void => {
    order.set(file, order.size);
    low.set(file, order.get(file) ?? 0);
    stack.push(file);
    for (const target of next.get(file) ?? []) {
      if (!order.has(target)) visit(target);
      if (stack.includes(target)) low.set(file, Math.min(low.get(file) ?? 0, low.get(target) ?? 0));
    }
    if (low.get(file) !== order.get(file)) return;
    const group = stack.splice(stack.indexOf(file));
    if (group.length > 1) groups.push(group.join(' ↔ '));
  };
  for (const file of files) if (!order.has(file)) visit(file);
  return groups;
}
