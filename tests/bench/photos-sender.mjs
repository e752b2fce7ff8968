// Sends photos to the service all at once: node photos-sender.mjs FILE PORT; the places come as a message, one photo each. Bytes behind
// the end of the picture make each a photo of its own.
import { createHash, randomBytes, randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import http from 'node:http';

const [file, port] = process.argv.slice(2);
const photo = readFileSync(file);

process.once('message', (places) => void sendAll(places));

async function sendAll(places) {
  const parts = places.map((place) => ({ ...place, tail: randomBytes(16) }));
  for (const part of parts) part.digest = createHash('sha256').update(photo).update(part.tail).digest('base64');
  const from = performance.now();
  await Promise.all(parts.map(put));
  process.send({ sentMs: performance.now() - from }, () => process.exit(0));
}

function put({ inspection, link, tail, digest }) {
  return new Promise((settle, fail) => {
    const request = http.request(
      {
        host: '127.0.0.1',
        port,
        method: 'PUT',
        path: `/v1/inspections/${inspection}/photos/${randomUUID()}?item=carton-faces&shows=extra`,
        headers: {
          authorization: `Bearer ${link}`,
          'content-type': 'image/jpeg',
          'content-length': photo.length + tail.length,
          'content-digest': `sha-256=:${digest}:`,
        },
        agent: false,
      },
      (answer) => {
        let said = '';
        answer.on('data', (chunk) => (said += chunk));
        answer.on('end', () =>
          answer.statusCode === 201 ? settle() : fail(new Error(`answered ${answer.statusCode}: ${said}`)),
        );
      },
    );
    request.on('error', fail);
    request.write(photo);
    request.end(tail);
  });
}
