import type { Question } from './checker.js';

// Browsers of the last year have it; for the others it is fetched first.
if (!('Temporal' in globalThis)) await import('temporal-polyfill/global');
const { answerTo } = await import('./checker.js');

/** What is asked and answered under one number. */
export interface Asked {
  readonly n: number;
  readonly question: Question;
}

globalThis.addEventListener('message', ({ data }: MessageEvent<Asked>) => {
  const { n, question } = data;
  try {
    tell({ n, answer: answerTo(question) });
  } catch (error) {
    tell({ n, trouble: String(error) });
  }
});
tell({ ready: true });

function tell(answer: object): void {
  postMessage(answer, { targetOrigin: location.origin });
}
