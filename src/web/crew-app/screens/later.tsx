import { ENGLISH_LATER } from '../words/english-later.js';
import { learnMore } from '../words/sayer.js';

// Fetched after the first check is on the screen, and kept with everything else for work without a signal.
export { Checks } from './checks.js';
export { Help } from './help.js';
export { Send } from './send.js';
export { Sent } from './sent.js';
export { Today } from './today.js';

learnMore(ENGLISH_LATER);
