import { describe, expect, it } from 'vitest';
import { FrameworkLog, openLog } from './log.js';
import { inContext, noteActor } from './request-context.js';

function capture(): { lines: Record<string, unknown>[]; log: ReturnType<typeof openLog> } {
  const lines: Record<string, unknown>[] = [];
  const log = openLog('trace', { write: (line) => void lines.push(JSON.parse(line) as Record<string, unknown>) });
  return { lines, log };
}

describe('the log', () => {
  it('is one JSON object a line, with the time in UTC and the level in words', () => {
    const { lines, log } = capture();
    log.warn({ room: 7 }, 'something');
    expect(lines).toEqual([{ level: 'warn', time: expect.stringMatching(/^\d{4}-.*Z$/), room: 7, msg: 'something' }]);
  });

  it('carries the request, and the actor once it is known, through everything that is called', async () => {
    const { lines, log } = capture();
    await inContext({ requestId: 'r1' }, async () => {
      log.info('before');
      await Promise.resolve();
      noteActor('t1', 'person:p1');
      log.info('after');
    });
    log.info('outside');
    expect(lines.map(({ requestId, tenant, actor }) => ({ requestId, tenant, actor }))).toEqual([
      { requestId: 'r1', tenant: undefined, actor: undefined },
      { requestId: 'r1', tenant: 't1', actor: 'person:p1' },
      { requestId: undefined, tenant: undefined, actor: undefined },
    ]);
  });

  it('hides secrets by their names, down to the second level', () => {
    const { lines, log } = capture();
    log.info({
      password: 'p1',
      body: { token: 't1', deep: { secret: 's1' } },
      headers: { cookie: 'c1', authorization: 'a1' },
    });
    expect(JSON.stringify(lines)).not.toMatch(/p1|t1|s1|c1|a1/);
  });

  it('takes the messages of the framework in, with the stack of a fault', () => {
    const { lines, log } = capture();
    const framework = new FrameworkLog(log);
    framework.log('Mapped', 'Router');
    framework.error('broke', 'Error: broke\n    at somewhere', 'Handler');
    expect(lines).toMatchObject([
      { level: 'debug', from: 'Router', msg: 'Mapped' },
      { level: 'error', from: 'Handler', msg: 'broke', stack: expect.stringContaining('somewhere') },
    ]);
  });
});
