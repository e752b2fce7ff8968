import type * as Real from '../../crew-app/engine.js';

// In place of what sends: whatever a preview would owe stays where it is.
export * from '../../crew-app/engine.js';

export const sendOwed: typeof Real.sendOwed = async () => undefined;
export const askToPersist: typeof Real.askToPersist = async () => undefined;
export const keepShell: typeof Real.keepShell = async () => undefined;
export const watchLine: typeof Real.watchLine = () => undefined;
