// Sends each photo by itself under an id of its own with its digest, so that a broken line costs one photo and never makes two.
// Without this script the form below the camera button does the same in one go.
const TRIES = 4;
const say = (form, text) => {
  form.querySelector('.sending').textContent = text;
};

async function digestOf(file) {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', await file.arrayBuffer()));
  return `sha-256=:${btoa(String.fromCharCode(...hash))}:`;
}

function put(address, file, digest, onProgress) {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('PUT', address);
    request.setRequestHeader('content-type', file.type || 'application/octet-stream');
    request.setRequestHeader('content-digest', digest);
    request.setRequestHeader('accept', 'application/json');
    request.upload.addEventListener('progress', ({ loaded, total }) => onProgress(Math.round((100 * loaded) / total)));
    request.addEventListener('load', () => resolve({ status: request.status, text: request.responseText }));
    request.addEventListener('error', () => reject(new Error('no line')));
    request.send(file);
  });
}

/** One photo, tried again after 1, 2 and 4 seconds. A refusal (4xx) is told at once: sending it again would not help. */
async function send(form, file, place, words) {
  const digest = await digestOf(file);
  const address = `/v1/inspections/${form.dataset.inspection}/photos/${crypto.randomUUID()}?${new URLSearchParams(place)}`;
  for (let tries = 1; ; tries += 1) {
    try {
      const { status, text } = await put(address, file, digest, (percent) => say(form, `${words} · ${percent} %`));
      if (status < 300) return undefined;
      if (status < 500 && status !== 408 && status !== 429) return JSON.parse(text).detail ?? form.dataset.failed;
    } catch {
      // The line broke; the same id and digest make it safe to send again.
    }
    if (tries === TRIES) return form.dataset.failed;
    await new Promise((resolve) => setTimeout(resolve, 1000 * 2 ** (tries - 1)));
  }
}

async function sendAll(form) {
  const input = form.querySelector('input[type=file]');
  // By namedItem, because `elements.item` is a method of the collection.
  const [item, shows] = ['item', 'shows'].map((name) => form.elements.namedItem(name).value);
  const files = [...input.files];
  const troubles = [];
  for (const [index, file] of files.entries()) {
    const words = form.dataset.sending.replace('#', String(index + 1)).replace('#', String(files.length));
    say(form, words);
    const trouble = await send(form, file, { item, shows }, words);
    if (trouble) troubles.push(trouble);
  }
  say(form, troubles.join(' '));
  if (troubles.length === 0) await fresh();
}

/** Reads the photos of the page again, and once more while their pictures are still being made. */
async function fresh(tries = 0) {
  const answer = await fetch(location.href, { headers: { accept: 'text/html' } });
  const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
  const photos = page.getElementById('photos');
  if (photos === null) return;
  document.getElementById('photos').replaceWith(photos);
  watch();
  // At first often, then less so: after a minute the page is left alone.
  const pause = Math.min(700 + 100 * tries, 3000);
  if (photos.querySelector('[data-pending]') && tries < 30) setTimeout(() => void fresh(tries + 1), pause);
}

function watch() {
  for (const form of document.querySelectorAll('form[data-photos]')) {
    const input = form.querySelector('input[type=file]');
    if (!globalThis.crypto?.subtle) continue;
    form.dataset.watched = 'yes';
    for (const button of form.querySelectorAll('button[type=submit]')) button.hidden = true;
    input.addEventListener('change', () => void sendAll(form));
  }
}

watch();
if (document.querySelector('#photos [data-pending]')) setTimeout(() => void fresh(), 700);
