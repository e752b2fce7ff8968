import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from '../../src/platform/config/project-root.js';

// Relative luminance and contrast as in WCAG 2.2, "relative luminance" and "contrast ratio"; the two worked values are the extremes
// of its own definition (21:1) and its example of the same colour twice (1:1).
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark = 0, light = 0] = [luminance(a), luminance(b)].toSorted((x, y) => x - y);
  return (light + 0.05) / (dark + 0.05);
}

const css = readFileSync(join(projectRoot(), 'src/web/assets/tokens.css'), 'utf8');
const [light = '', dark = ''] = css.split('@media screen and (prefers-color-scheme: dark)');

function token(block: string, name: string): string {
  const value = new RegExp(`--${name}: (#[0-9a-f]{6});`).exec(block)?.[1];
  if (value === undefined) throw new Error(`tokens.css has no colour ${name}`);
  return value;
}

/** Text on ground, and the least contrast: 7 (AAA) for reading text, 4.5 (AA) for marks and remarks, 3 for lines and focus. */
const PAIRS: readonly (readonly [string, string, number])[] = [
  ['ink', 'paper', 7],
  ['ink', 'sheet', 7],
  ['ink', 'sunk', 7],
  ['ink-2', 'paper', 7],
  ['ink-2', 'sheet', 7],
  ['ink-2', 'sunk', 4.5],
  ['on-pine', 'pine', 7],
  ['pine', 'paper', 7],
  ['pine', 'sheet', 7],
  ['ink', 'pine-wash', 7],
  ...(['ok', 'warn', 'bad', 'info'] as const).flatMap((tone) => [
    [tone, `${tone}-wash`, 4.5] as const,
    [tone, 'sheet', 4.5] as const,
    ['ink', `${tone}-wash`, 7] as const,
    ['ink-2', `${tone}-wash`, 4.5] as const,
  ]),
  ['stop', 'paper', 7],
  ['on-stop', 'stop', 7],
  ['rule', 'paper', 3],
  ['rule', 'sheet', 3],
  ['focus', 'paper', 3],
  ['focus', 'sheet', 3],
];

describe('contrast of the colours', () => {
  it('is worked out as WCAG defines it', () => {
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
    expect(contrast('#777777', '#777777')).toBe(1);
  });

  it.each(PAIRS)('%s on %s is at least %d, in light and dark', (text, ground, least) => {
    for (const block of [light, dark])
      expect(contrast(token(block, text), token(block, ground))).toBeGreaterThan(least);
  });
});
