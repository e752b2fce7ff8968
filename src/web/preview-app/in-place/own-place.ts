import { show } from '../../crew-app/app-state.js';
import type * as Real from '../../crew-app/app-state.js';

// In place of the address bar: a preview stands in a frame, and must not fill the history of the page around it.
export * from '../../crew-app/app-state.js';

export const go: typeof Real.go = (address) => {
  const { pathname, searchParams } = new URL(address, location.origin);
  show({ place: { path: pathname, query: searchParams } });
  scrollTo(0, 0);
};
