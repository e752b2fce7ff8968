import type { Actor } from '../../src/access/access.contract.js';
import {
  observationsFrom,
  type InspectionForClaim,
  type LocatedInspection,
} from '../../src/inspections/inspections.contract.js';
import { InspectionsService } from '../../src/inspections/inspections.service.js';
import { Database } from '../../src/platform/db/database.js';
import { scopeOf } from '../../src/platform/http/caller.js';
import type { TestApp } from './test-app.js';

/** What a claim reads of an inspection, and how one of its observations stands. @param at address that ends in the inspection's id */
export async function inspectionsOf(
  test: TestApp,
  tenant: string,
  at: string,
): Promise<InspectionForClaim & { readonly observations: (part: string) => { readonly observation: string } }> {
  const service = test.app.get(InspectionsService);
  const id = at.slice(-36);
  const { forClaim, located } = await test.app.get(Database).inTenant({ tenant }, async (tx) => ({
    forClaim: await service.forClaim(tx, tenant, id),
    located: await service.locate(tx, { kind: 'service', tenant, id: 'test', name: 'test', roles: [] }, id),
  }));
  const seen = observationsFrom(located.checklist, forClaim.answers, located.unit);
  return {
    ...forClaim,
    observations: (part) => {
      if (seen.present.some((code) => code.includes(part))) return { observation: 'present' };
      return { observation: seen.absent.some((code) => code.includes(part)) ? 'absent' : 'not checked' };
    },
  };
}

/** Looks inspections up as an analyst of a tenant, or as a crew of one visit. */
export function actorScope(
  test: TestApp,
  tenant: string,
  visit?: string,
): { locate(id: string): Promise<LocatedInspection> } {
  const roles = visit === undefined ? (['analyst'] as const) : (['crew'] as const);
  const actor: Actor = { kind: 'person', tenant, id: 'test', name: 'test', roles, ...(visit && { visit }) };
  return {
    locate: (id) =>
      test.app.get(Database).inTenant(scopeOf(actor), (tx) => test.app.get(InspectionsService).locate(tx, actor, id)),
  };
}
