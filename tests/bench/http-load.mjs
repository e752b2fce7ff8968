// A client that costs little, so that the servers are what is measured: one connection a lane, requests one after another, answers cut
// by their Content-Length. Talks to 127.0.0.1 only.
import net from 'node:net';

/**
 * Sends every request once over `lanes` connections kept open.
 * @param {number} port
 * @param {readonly string[]} requests whole HTTP/1.1 requests
 * @param {(status: number) => boolean} good
 * @returns {Promise<number>} requests per second
 */
export async function send(port, requests, good, lanes = 8) {
  let next = 0;
  const lane = async () => {
    const connection = await connect(port);
    try {
      while (next < requests.length) {
        const request = requests[(next += 1) - 1];
        const { status, body } = await connection.ask(request);
        if (!good(status)) throw new Error(`answered ${status} to ${request.slice(0, 60)}: ${body.slice(0, 400)}`);
      }
    } finally {
      connection.close();
    }
  };
  const from = performance.now();
  await Promise.all(Array.from({ length: lanes }, lane));
  return (requests.length * 1000) / (performance.now() - from);
}

/** One request and its answer. */
export async function ask(port, request) {
  const connection = await connect(port);
  try {
    return await connection.ask(request);
  } finally {
    connection.close();
  }
}

export function get(address, headers) {
  return `GET ${address} HTTP/1.1\r\nhost: 127.0.0.1\r\n${lines(headers)}\r\n`;
}

export function post(address, headers, json) {
  const body = JSON.stringify(json);
  const all = { ...headers, 'content-type': 'application/json', 'content-length': Buffer.byteLength(body) };
  return `POST ${address} HTTP/1.1\r\nhost: 127.0.0.1\r\n${lines(all)}\r\n${body}`;
}

function lines(headers) {
  return Object.entries(headers)
    .map(([name, value]) => `${name}: ${value}\r\n`)
    .join('');
}

function connect(port) {
  return new Promise((resolve, reject) => {
    const socket = net.connect({ port, host: '127.0.0.1', noDelay: true });
    let got = '';
    let waiting;
    socket.setEncoding('latin1'); // one character a byte, so lengths can be compared
    socket.on('data', (chunk) => {
      got += chunk;
      const answer = whole(got);
      if (answer === undefined || waiting === undefined) return;
      got = '';
      waiting.resolve(answer);
    });
    socket.on('error', (error) => (waiting ?? { reject }).reject(error));
    socket.on('close', () => waiting?.reject(new Error('the connection was closed')));
    socket.once('connect', () =>
      resolve({
        ask: (request) =>
          new Promise((settle, fail) => {
            waiting = { resolve: settle, reject: fail };
            socket.write(request);
          }),
        close: () => {
          waiting = undefined;
          socket.destroy();
        },
      }),
    );
  });
}

function whole(text) {
  const end = text.indexOf('\r\n\r\n');
  if (end === -1) return undefined;
  const length = Number(/\r\ncontent-length: (\d+)/i.exec(text.slice(0, end))?.[1] ?? 0);
  const body = text.slice(end + 4);
  return body.length < length ? undefined : { status: Number(text.slice(9, 12)), body };
}
