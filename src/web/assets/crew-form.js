// Keeps what was typed on the phone while there is no signal, and sends it when the signal is back. The pages work without it.
const PREFIX = 'as-noted kept ';
const words = document.getElementById('line')?.dataset ?? {};

/** Answers kept on this phone, oldest first. */
function kept() {
  return Object.keys(localStorage)
    .filter((key) => key.startsWith(PREFIX))
    .map((key) => ({ key, ...JSON.parse(localStorage.getItem(key)) }))
    .sort((a, b) => a.at - b.at);
}

function say(text, button) {
  const line = document.getElementById('line');
  if (!line) return;
  line.replaceChildren();
  if (text === '') return;
  line.append(Object.assign(document.createElement('p'), { textContent: text }));
  if (button) {
    const again = Object.assign(document.createElement('button'), { type: 'button', textContent: button });
    again.addEventListener('click', () => void sendKept());
    line.append(again);
  }
}

function keep(action, body) {
  localStorage.setItem(
    `${PREFIX}${action} ${body.get('item') ?? ''}`,
    JSON.stringify({ action, body: body.toString(), at: Date.now() }),
  );
  say(words.offline, words.again);
}

async function post(action, body) {
  return fetch(action, {
    method: 'POST',
    body,
    headers: { accept: 'text/html', 'content-type': 'application/x-www-form-urlencoded' },
  });
}

/** Shows a page that came back: another address is opened, a refusal replaces what stands in the page. */
async function show(answer) {
  if (answer.ok) {
    if (answer.url === location.href) location.reload();
    else location.assign(answer.url);
    return;
  }
  const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html');
  document.title = fresh.title;
  document.querySelector('main').replaceWith(fresh.querySelector('main'));
  document.querySelector('[role=alert]')?.focus();
  watchForms();
}

async function sendKept() {
  let last;
  for (const { key, action, body } of kept()) {
    try {
      last = await post(action, body);
    } catch {
      say(words.offline, words.again);
      return;
    }
    if (last.status >= 500) {
      say(words.offline, words.again);
      return;
    }
    localStorage.removeItem(key);
    if (!last.ok) break;
  }
  say('');
  if (last) await show(last);
}

function watchForms() {
  for (const form of document.querySelectorAll('form[data-keep]')) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      void send(form, event.submitter);
    });
  }
}

async function send(form, submitter) {
  const at = form.elements.namedItem('answeredAt');
  if (at) at.value = new Date().toISOString();
  const body = new URLSearchParams(new FormData(form, submitter));
  const buttons = form.querySelectorAll('button');
  for (const button of buttons) button.disabled = true;
  try {
    await show(await post(form.getAttribute('action'), body));
  } catch {
    keep(form.getAttribute('action'), body);
  }
  for (const button of buttons) button.disabled = false;
}

watchForms();
const waiting = kept().length;
if (waiting > 0) say(waiting === 1 ? words.keptOne : words.keptMany.replace('#', String(waiting)), words.again);
addEventListener('online', () => {
  if (kept().length > 0) void sendKept();
});
