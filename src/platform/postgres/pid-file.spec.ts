import { describe, expect, it } from 'vitest';
import { pidFileVerdict } from './pid-file.js';
import type { ProcessFacts } from './process-facts.js';

const DATA = '/state/postgres/run/data';
const FILE = `4711\n${DATA}\n1764057600\n40447\n\n127.0.0.1\n  123 0\nready   \n`;
const postgres: ProcessFacts = { pid: 4711, zombie: false, startedAt: 'b:1', program: 'postgres', folder: DATA };
const verdict = (text: string | undefined, facts: ProcessFacts | undefined) =>
  pidFileVerdict(text, DATA, (pid) => (pid === 4711 ? facts : undefined));

describe('the verdict on a pid file', () => {
  it('finds no file', () => {
    expect(verdict(undefined, undefined)).toEqual({ kind: 'absent' });
  });

  it('finds the running server and its port', () => {
    expect(verdict(FILE, postgres)).toEqual({ kind: 'running', pid: 4711, port: 40447 });
  });

  it('finds a server that has not told its port yet', () => {
    expect(verdict('4711\n', postgres)).toEqual({ kind: 'running', pid: 4711, port: undefined });
  });

  it('trusts a process it may not look into', () => {
    expect(verdict(FILE, { pid: 4711, zombie: false, startedAt: '', program: '' })).toMatchObject({ kind: 'running' });
  });

  it.each<[string, ProcessFacts | undefined, string]>([
    ['a process that is gone', undefined, 'process 4711 is gone'],
    ['a zombie', { ...postgres, zombie: true }, 'process 4711 has ended and was not collected'],
    ['another program', { ...postgres, program: 'node' }, 'process 4711 is node, not PostgreSQL'],
    ['a server of another folder', { ...postgres, folder: '/var/lib/postgresql/15/main' }, 'of another folder'],
  ])('calls the file of %s stale', (_case, facts, why) => {
    const found = verdict(FILE, facts);
    expect(found.kind === 'stale' && found.why).toContain(why);
  });

  it.each(['', '\n', 'abc\n', '-4711\n', '0\n'])('calls a file that begins with %j stale', (text) => {
    expect(verdict(text, postgres)).toEqual({ kind: 'stale', why: 'it names no process' });
  });
});
