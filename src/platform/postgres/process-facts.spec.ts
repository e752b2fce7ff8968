import { describe, expect, it } from 'vitest';
import { isAlive, ownIdentity, parseStat, processFacts } from './process-facts.js';

// A line in the shape of proc(5): field 3 is the state, field 22 the start in clock ticks.
const stat = (program: string, state: string): string =>
  `4711 (${program}) ${state} 1 4711 4711 0 -1 4194304 900 0 0 0 5 3 0 0 20 0 6 0 998877 120000000 5000`;

describe('process facts', () => {
  it('reads program, state and start', () => {
    expect(parseStat(stat('postgres', 'S'))).toEqual({ program: 'postgres', zombie: false, startTicks: '998877' });
  });

  it('reads a program name with brackets and blanks in it', () => {
    expect(parseStat(stat('a) b (c', 'R'))).toMatchObject({ program: 'a) b (c', startTicks: '998877' });
  });

  it('tells a zombie', () => {
    expect(parseStat(stat('postgres', 'Z'))?.zombie).toBe(true);
  });

  it('makes nothing of other text', () => {
    expect(parseStat('')).toBeUndefined();
    expect(parseStat('4711 (x) S 1')).toBeUndefined();
  });

  it('knows this process and no process 0', () => {
    expect(processFacts(process.pid)).toMatchObject({ pid: process.pid, zombie: false });
    expect(isAlive(ownIdentity())).toBe(true);
    expect(processFacts(0)).toBeUndefined();
  });

  it('does not take a later process with the same number for the one that was meant', () => {
    const later = () => ({ pid: 4711, zombie: false, startedAt: 'boot:2', program: 'node' });
    expect(isAlive({ pid: 4711, startedAt: 'boot:1' }, later)).toBe(false);
    expect(isAlive({ pid: 4711, startedAt: 'boot:2' }, later)).toBe(true);
    expect(isAlive({ pid: 4711, startedAt: 'boot:2' }, () => ({ ...later(), zombie: true }))).toBe(false);
  });
});
