import type { ReactNode } from 'react';
import { ROLES, type Role } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';

/** What each role lets somebody do, in one line. */
const LETS: Readonly<Record<Role, string>> = {
  crew: 'fills in inspections at visits; most crews need no account, a link is enough',
  analyst: 'reads cases, decides, settles, recovers',
  retailer: 'sees the claims of one retailer, and nothing else',
  'policy owner': 'writes policies and evidence models; a second one publishes',
  administrator: 'people, keys, catalogue, checklists, the trail',
};

interface RolePicksProps {
  readonly chosen: readonly Role[];
  /** Which may be chosen here. */
  readonly among: readonly Role[];
  readonly wrong?: string | undefined;
}

/** Roles to tick, each with what it is for. */
export function RolePicks({ chosen, among, wrong }: RolePicksProps): ReactNode {
  return (
    <fieldset aria-describedby={wrong === undefined ? undefined : 'roles-wrong'}>
      <legend>Roles</legend>
      {wrong === undefined ? null : (
        <span className="wrong" id="roles-wrong">
          {wrong}
        </span>
      )}
      {ROLES.filter((role) => among.includes(role)).map((role) => (
        <label key={role} className="pick">
          <input type="checkbox" name="roles" value={role} defaultChecked={chosen.includes(role)} />
          <span>
            {sentenceCase(role)}
            <span className="sub">{LETS[role]}</span>
          </span>
        </label>
      ))}
    </fieldset>
  );
}

/** The roles that were ticked in a form. */
export function rolesIn(form: FormData): Role[] {
  const ticked = form.getAll('roles');
  return ROLES.filter((role) => ticked.includes(role));
}

/** A text that was typed into a form. */
export function textIn(form: FormData, name: string): string {
  const value = form.get(name);
  return typeof value === 'string' ? value.trim() : '';
}
