/** Entry of a process that works on one rehearsal: given its order over the channel, it answers once and ends. It may be killed at any moment. */
import { constants, setPriority } from 'node:os';
import type { RehearsalEnd, RehearsalStart } from './rehearsal-messages.js';
import { rehearseHere } from './rehearse-here.js';

// People waiting for an answer go before claims that were decided long ago.
setPriority(constants.priority.PRIORITY_BELOW_NORMAL);

// A terminal sends Ctrl-C to the whole group; the parent decides when a child ends.
process.on('SIGINT', () => undefined);
process.on('disconnect', () => process.exit(0));

process.once('message', (start: RehearsalStart) => {
  void rehearseHere(start)
    .catch((error: unknown): RehearsalEnd => ({ ok: false, problem: String(error), lasting: false }))
    .then((end) => process.send?.(end, () => process.disconnect?.()));
});
