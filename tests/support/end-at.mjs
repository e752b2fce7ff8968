// Loaded before the service (node --import) by tests that end it at one exact point of taking a photo in. END_AT names the point:
//   arriving  all bytes of an upload are there, none has been hashed
//   hashed    the bytes are hashed and judged, and have no name in the store yet
//   linked    they have their name in the store, and there is no row
//   recorded  the row is committed, and nobody was told
import fs from 'node:fs/promises';
import { createRequire, syncBuiltinESMExports } from 'node:module';

const point = process.env.END_AT;
const { link, open } = fs;

/** As an empty battery would; nothing runs after it. */
function end() {
  process.kill(process.pid, 'SIGKILL');
  return new Promise(() => undefined);
}

fs.open = async (path, ...rest) => {
  if (point === 'arriving' && /originals\/arriving\//.test(String(path))) await end();
  return open(path, ...rest);
};
fs.link = async (from, to) => {
  const isOriginal = /originals\/[0-9a-f]{2}\//.test(String(to));
  if (point === 'hashed' && isOriginal) await end();
  await link(from, to);
  if (point === 'linked' && isOriginal) await end();
};
syncBuiltinESMExports();

if (point === 'recorded') {
  const { Client } = createRequire(import.meta.url)('pg');
  const { query } = Client.prototype;
  const adding = new WeakSet();
  Client.prototype.query = function (first, ...rest) {
    const text = typeof first === 'string' ? first : (first?.text ?? '');
    if (/insert\s+into\s+"?exhibit"?[\s(]/i.test(text)) adding.add(this);
    const result = query.call(this, first, ...rest);
    if (!/^\s*commit/i.test(text) || !adding.has(this)) return result;
    return Promise.resolve(result).then(end);
  };
}
