import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../src/platform/config/project-root.js';
import { isProblemCode, PROBLEMS } from '../src/platform/http/problems.js';

const pages = join(projectRoot(), 'docs', 'problems');
const codes = Object.keys(PROBLEMS);

describe('the problem catalogue', () => {
  it('has a page for each code and a code for each page', () => {
    const named = readdirSync(pages).map((file) => file.replace(/\.md$/, ''));
    expect(named.sort()).toEqual([...codes].sort());
  });

  it.each(Object.entries(PROBLEMS))('says on the page of %s the same title and status', (code, kind) => {
    const text = readFileSync(join(pages, `${code}.md`), 'utf8');
    expect(text.split('\n')[0]).toBe(`# ${kind.title}`);
    expect(text).toContain(`\`/problems/${code}\`, HTTP ${kind.status}`);
    expect(text).toMatch(/## What it means\n\n\S[^]+## What to do\n\n\S/);
  });

  it('links only to pages that exist', () => {
    for (const file of readdirSync(pages)) {
      for (const [, target = ''] of readFileSync(join(pages, file), 'utf8').matchAll(/\]\(([a-z-]+)\.md\)/g)) {
        expect(codes, `${file} links to ${target}`).toContain(target);
      }
    }
  });

  it('uses statuses of errors, and titles that differ', () => {
    for (const { status } of Object.values(PROBLEMS)) {
      expect(status).toBeGreaterThanOrEqual(400);
      expect(status).toBeLessThan(600);
    }
    const titles = Object.values(PROBLEMS).map((kind) => kind.title);
    expect(new Set(titles).size).toBe(titles.length);
  });

  it('does not take inherited names for codes', () => {
    expect(isProblemCode('not-found')).toBe(true);
    expect(isProblemCode('toString')).toBe(false);
  });

  it('holds each code that the source gives out', () => {
    const src = join(projectRoot(), 'src');
    for (const file of readdirSync(src, { recursive: true, encoding: 'utf8' })) {
      if (!/\.tsx?$/.test(file)) continue;
      const text = readFileSync(join(src, file), 'utf8');
      for (const [, code = ''] of text.matchAll(/\bnew Refused\(\s*'([a-z-]+)'/g)) {
        expect(codes, `${file} refuses with ${code}`).toContain(code);
      }
    }
  });
});
