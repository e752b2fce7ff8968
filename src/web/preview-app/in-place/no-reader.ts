import type * as Real from '../../crew-app/photo/read-code.js';

// In place of what reads labels: a preview has no camera, and the phone's is not asked for at the desk.
export * from '../../crew-app/photo/read-code.js';

export const openReader: typeof Real.openReader = async () => {
  throw new Error('a preview has no camera');
};
export const readyReader: typeof Real.readyReader = async () => undefined;
