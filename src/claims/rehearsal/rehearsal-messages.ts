import type { RehearsalOrder } from './rehearsal-worker.js';

/** What the service tells a child process. The connection string holds a secret, so it goes over the channel and not into the command line. */
export interface RehearsalStart {
  /** Connection string of the database, under the application role. */
  readonly url: string;
  readonly order: RehearsalOrder;
}

/** What a child process answers when it is through. */
export type RehearsalEnd =
  | { readonly ok: true; readonly claims: number; readonly peakBytes: number; readonly processorSeconds: number }
  | {
      readonly ok: false;
      readonly problem: string;
      /** Whether it would fail again in the same way. */
      readonly lasting: boolean;
    };
