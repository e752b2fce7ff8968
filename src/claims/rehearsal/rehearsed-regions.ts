import type { Client } from 'pg';
import type { CompiledPolicy, Facts } from '../../policies/policies.contract.js';
import type { RehearsalOrder } from './rehearsal-worker.js';

/** Tests of the regions in which a draft decides otherwise than the version in force. */
export async function rehearsedRegions(
  _client: Client,
  _order: RehearsalOrder,
  _draft: CompiledPolicy,
): Promise<readonly ((on: string, facts: Facts) => boolean)[]> {
  return [];
}
