import { may, type Actor } from '../access/access.contract.js';
import type { DeskDoor } from './domain/desk-data.js';
import { seesTheDesk } from './onlookers.js';

/** The doors of the desk that are the actor's. Nobody is shown one that would not open. */
export function deskDoors(actor: Actor): readonly DeskDoor[] {
  const doors: readonly (DeskDoor & { readonly opens: boolean })[] = [
    { to: '/', says: 'Queue', opens: seesTheDesk(actor) },
    { to: '/due', says: 'What is due', opens: may(actor, 'due.read') },
    { to: '/recoveries', says: 'Recoveries', opens: may(actor, 'recovery.read') },
    { to: '/figures', says: 'Figures', opens: may(actor, 'insight.read') },
    { to: '/visits', says: 'Visits', opens: may(actor, 'visit-link.manage') },
    { to: '/policies', says: 'Policies', opens: may(actor, 'policy.read') },
    { to: '/models', says: 'Evidence models', opens: may(actor, 'policy.read') },
    { to: '/checklists', says: 'Checklists', opens: may(actor, 'checklist.read') },
    { to: '/phones', says: 'Phones that owe', counts: 'phones', opens: seesTheDesk(actor) },
    { to: '/trail', says: 'Trail', opens: may(actor, 'claim.verify') },
    { to: '/catalogue', says: 'Catalogue', opens: may(actor, 'catalogue.read') },
    { to: '/people', says: 'People and keys', opens: may(actor, 'people.manage') },
  ];
  return doors.flatMap(({ opens, ...door }) => (opens ? [door] : []));
}
