// Runs one start of the private server, or a fight for a lock, as a process of its own, straight from the sources.
// Usage: start-server.mjs server OPTIONS-JSON | count LOCK-FILE COUNTER-FILE TIMES
import { readFileSync, writeFileSync } from 'node:fs';
import { registerHooks } from 'node:module';

registerHooks({
  resolve: (specifier, context, next) => {
    const own = specifier.startsWith('.') && !context.parentURL?.includes('/node_modules/');
    return next(own ? specifier.replace(/\.js$/, '.ts') : specifier, context);
  },
});
const [task, ...args] = process.argv.slice(2);

if (task === 'server') {
  const { startPrivateServer } = await import('../../src/platform/postgres/private-server.ts');
  const { stopOnSignals } = await import('../../src/platform/postgres/stop-on-signals.ts');
  const server = await startPrivateServer({
    ...JSON.parse(args[0]),
    onProgress: (line) => process.stderr.write(`${line}\n`),
  });
  stopOnSignals(
    () => server.stop(),
    () => undefined,
  );
  process.stdout.write(`${JSON.stringify({ url: server.url, attached: server.attached })}\n`);
  setInterval(() => undefined, 60_000);
} else if (task === 'count') {
  const { acquireLock } = await import('../../src/platform/postgres/lock-file.ts');
  const [lockFile, counterFile, times] = args;
  for (let i = 0; i < Number(times); i++) {
    const lock = await acquireLock(lockFile, () => undefined, 60_000);
    writeFileSync(counterFile, String(Number(readFileSync(counterFile, 'utf8')) + 1));
    lock.release();
  }
}
