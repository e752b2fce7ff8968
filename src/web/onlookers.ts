import { may, type Actor } from '../access/access.contract.js';
import { DESK } from './domain/desk-address.js';
import type { Door, Onlooker } from './pages/layout.js';

/** Where somebody goes after signing in. */
export function homeOf(roles: readonly string[]): string {
  if (roles.includes('analyst')) return DESK;
  if (roles.includes('retailer')) return '/claims';
  if (roles.includes('administrator')) return `${DESK}/people`;
  if (roles.includes('policy owner')) return `${DESK}/policies`;
  return '/crew';
}

/** Whether an actor sees the inside of the desk: proposals before they are decided, reasons, names. */
export function seesTheDesk(actor: Actor): boolean {
  return may(actor, 'recovery.read');
}

/** The doors that are the actor's. Nobody is shown one that would not open. */
export function onlookerOf(actor: Actor): Onlooker {
  const staff = actor.retailer === undefined && may(actor, 'policy.read');
  const doors: readonly (Door & { readonly opens: boolean })[] = [
    { address: DESK, says: 'Queue', opens: seesTheDesk(actor) },
    { address: '/claims', says: 'Claims', opens: actor.retailer !== undefined },
    { address: '/claims/export', says: 'Export', opens: actor.retailer !== undefined },
    { address: '/claims/keys', says: 'Keys', opens: actor.retailer !== undefined && may(actor, 'own-key.manage') },
    { address: '/claims/company', says: 'People and address', opens: may(actor, 'own-company.manage') },
    { address: '/crew', says: 'Visits', opens: actor.roles.includes('crew') && !staff },
    { address: `${DESK}/visits`, says: 'Visits', opens: staff && may(actor, 'visit.plan') },
    { address: `${DESK}/policies`, says: 'Policies', opens: staff },
    { address: `${DESK}/models`, says: 'Models', opens: staff },
    { address: `${DESK}/people`, says: 'People and keys', opens: may(actor, 'people.manage') },
  ];
  return { name: actor.name, doors: doors.filter(({ opens }) => opens) };
}
