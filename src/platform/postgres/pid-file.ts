import type { ProcessFacts } from './process-facts.js';

/**
 * What a data folder's postmaster.pid means.
 * - absent: no server claims the folder
 * - running: a server works there (or is about to, or is just stopping)
 * - stale: left over; whoever holds our own lock may remove it
 */
export type PidFileVerdict =
  | { readonly kind: 'absent' }
  | { readonly kind: 'running'; readonly pid: number; readonly port: number | undefined }
  | { readonly kind: 'stale'; readonly why: string };

/**
 * Judges the pid file. PostgreSQL refuses to start while the number in it belongs to any process, even a zombie or a stranger
 * that got the number after a restart of the machine; so those cases are told apart here.
 * Lines of the file: 1 process, 2 data folder, 3 start, 4 port (PostgreSQL source, src/include/utils/pidfile.h).
 * @param text content of the file, undefined when there is none
 * @param dataDir real path of the data folder
 */
export function pidFileVerdict(
  text: string | undefined,
  dataDir: string,
  factsOf: (pid: number) => ProcessFacts | undefined,
): PidFileVerdict {
  if (text === undefined) return { kind: 'absent' };
  const lines = text.split('\n');
  const pid = Number.parseInt(lines[0] ?? '', 10);
  if (!Number.isSafeInteger(pid) || pid <= 0) return { kind: 'stale', why: 'it names no process' };
  const facts = factsOf(pid);
  if (facts === undefined) return { kind: 'stale', why: `process ${pid} is gone` };
  if (facts.zombie) return { kind: 'stale', why: `process ${pid} has ended and was not collected` };
  if (facts.program !== '' && !/^postgres(\.exe)?$/.test(facts.program))
    return { kind: 'stale', why: `process ${pid} is ${facts.program}, not PostgreSQL` };
  if (facts.folder !== undefined && facts.folder !== dataDir)
    return { kind: 'stale', why: `process ${pid} is the PostgreSQL of another folder` };
  const port = Number.parseInt(lines[3] ?? '', 10);
  return { kind: 'running', pid, port: port > 0 ? port : undefined };
}
