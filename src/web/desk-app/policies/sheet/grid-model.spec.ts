import { describe, expect, it } from 'vitest';
import { inside, isFixed, moved, stepped, type GridModel } from './grid-model.js';

const column = (id: string, fixed = false) => ({ id, head: id, takes: '', part: 'condition', fixed }) as const;
const grid: GridModel = {
  label: 'test',
  columns: [column('a', true), column('b'), column('c')],
  rows: Array.from({ length: 40 }, (_, n) => ({
    key: String(n),
    texts: ['', '', ''],
    ...(n === 39 ? { fixed: new Set(['b']) } : {}),
  })),
  movable: 39,
};

// Keys of data grids: W3C ARIA Authoring Practices Guide, grid pattern, “Data Grids for presenting tabular information”.
describe('keys of a grid', () => {
  it.each([
    ['ArrowUp', false, [5, 1], [4, 1]],
    ['ArrowUp', false, [0, 1], [0, 1]],
    ['ArrowDown', false, [39, 1], [39, 1]],
    ['ArrowLeft', false, [5, 0], [5, 0]],
    ['ArrowRight', false, [5, 1], [5, 2]],
    ['Home', false, [5, 2], [5, 0]],
    ['End', false, [5, 0], [5, 2]],
    ['Home', true, [5, 2], [0, 0]],
    ['End', true, [5, 0], [39, 2]],
    ['ArrowDown', true, [5, 1], [39, 1]],
    ['PageDown', false, [5, 1], [20, 1]],
    ['PageUp', false, [5, 1], [0, 1]],
  ] as const)('%s (with Ctrl: %s) leads from %j to %j', (key, ctrl, [row, at], [toRow, to]) => {
    expect(moved(key, ctrl, { row, column: at }, grid)).toEqual({ row: toRow, column: to });
  });

  it('leave other keys alone', () => {
    for (const key of ['a', 'Tab', 'Enter', 'Escape'])
      expect(moved(key, false, { row: 0, column: 0 }, grid)).toBeUndefined();
  });

  it('step from cell to cell over the ends of rows, and stop at the ends of the grid', () => {
    expect(stepped({ row: 0, column: 2 }, 1, grid)).toEqual({ row: 1, column: 0 });
    expect(stepped({ row: 1, column: 0 }, -1, grid)).toEqual({ row: 0, column: 2 });
    expect(stepped({ row: 39, column: 2 }, 1, grid)).toBeUndefined();
    expect(stepped({ row: 0, column: 0 }, -1, grid)).toBeUndefined();
  });

  it('stay inside a grid that has become smaller, also one without rows', () => {
    expect(inside({ row: 50, column: 9 }, { row: 39, column: 2 })).toEqual({ row: 39, column: 2 });
    expect(inside({ row: 3, column: 1 }, { row: -1, column: -1 })).toEqual({ row: 0, column: 0 });
  });

  it('know which cells cannot be typed in', () => {
    expect(isFixed(grid, { row: 0, column: 0 })).toBe(true);
    expect(isFixed(grid, { row: 0, column: 1 })).toBe(false);
    expect(isFixed(grid, { row: 39, column: 1 })).toBe(true);
    expect(isFixed(grid, { row: 99, column: 1 })).toBe(true);
  });
});
