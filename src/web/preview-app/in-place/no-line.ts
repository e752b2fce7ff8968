import { NotThrough } from '../../crew-app/send/ask.js';
import type * as Real from '../../crew-app/send/ask.js';

// In place of the line to the service: a preview asks for nothing and sends nothing.
export * from '../../crew-app/send/ask.js';

export const ask: typeof Real.ask = async () => {
  throw new NotThrough(0, 'no-line', '');
};
