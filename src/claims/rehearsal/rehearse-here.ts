import pg from 'pg';
import type { RehearsalEnd, RehearsalStart } from './rehearsal-messages.js';
import { RehearsalWorker } from './rehearsal-worker.js';

/** Works on a rehearsal in this process, over a connection of its own. */
export async function rehearseHere({ url, order }: RehearsalStart): Promise<RehearsalEnd> {
  const client = new pg.Client({ connectionString: url, application_name: 'as-noted rehearsal' });
  // A connection that breaks while nobody asks anything must not end the process; the next statement fails.
  client.on('error', () => undefined);
  await client.connect();
  try {
    const claims = await new RehearsalWorker(client, order).run();
    return { ok: true, claims, ...spent() };
  } catch (error) {
    const problem = error instanceof Error ? error.message : String(error);
    // The database says why by a code; whatever has none comes from the claims and the policy, and comes again.
    const lasting = !(error instanceof Error && 'code' in error);
    return { ok: false, problem, lasting };
  } finally {
    await client.end().catch(() => undefined);
  }
}

/** What this process has used so far. */
function spent(): { readonly peakBytes: number; readonly processorSeconds: number } {
  const { maxRSS, userCPUTime, systemCPUTime } = process.resourceUsage();
  return { peakBytes: maxRSS * 1024, processorSeconds: (userCPUTime + systemCPUTime) / 1e6 };
}
