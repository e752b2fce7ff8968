import type { Role } from '../../kernel/vocabulary.js';
import type { Actor } from './actor.js';

/** What an API key may have been given. Reading and writing are granted apart. */
export const KEY_SCOPES = [
  'catalogue:read',
  'catalogue:write',
  'visits:read',
  'visits:write',
  'claims:read',
  'claims:write',
  'returns:read',
  'returns:write',
  'insight:read',
] as const;
export type KeyScope = (typeof KEY_SCOPES)[number];

interface Rule {
  readonly roles: readonly Role[];
  /** The scope with which an API key may do it; absent: no key may. */
  readonly key?: KeyScope;
}

const STAFF = ['analyst', 'policy owner', 'administrator'] as const;

function rule(roles: readonly Role[], key?: KeyScope): Rule {
  return key === undefined ? { roles } : { roles, key };
}

/** Every act, and who may do it at all. Whose things one may do it to is decided by tenant, retailer and visit in `judge`. */
const RULES = {
  'catalogue.read': rule(['crew', ...STAFF, 'retailer'], 'catalogue:read'),
  'catalogue.write': rule(['administrator'], 'catalogue:write'),
  'visit.read': rule(['crew', ...STAFF, 'retailer'], 'visits:read'),
  'visit.plan': rule(['analyst', 'administrator', 'retailer'], 'visits:write'),
  'visit.receive': rule(['crew', 'analyst', 'administrator']),
  'visit-link.manage': rule(['analyst', 'administrator'], 'visits:write'),
  'inspection.read': rule(['crew', ...STAFF]),
  'inspection.fill': rule(['crew', 'analyst']),
  'checklist.read': rule(['crew', ...STAFF]),
  'checklist.publish': rule(['policy owner', 'administrator']),
  'exhibit.read': rule(['crew', 'analyst', 'administrator']),
  'exhibit.add': rule(['crew', 'analyst']),
  // A photo or scan for a claim of one's own, beside what the crew took.
  'exhibit.supply': rule(['retailer']),
  // Where exactly a customer lives: analysts only.
  'exhibit.locate': rule(['analyst']),
  // Pairs of photos show one customer's home beside another's.
  'exhibit.compare': rule(['analyst']),
  'finding.read': rule(['crew', ...STAFF]),
  'claim.read': rule(['crew', ...STAFF, 'retailer'], 'claims:read'),
  'claim.file': rule(['crew', 'analyst', 'retailer'], 'claims:write'),
  'claim.inform': rule(['crew', 'analyst', 'retailer'], 'claims:write'),
  'claim.withdraw': rule(['analyst', 'retailer'], 'claims:write'),
  'claim.assess': rule(['analyst']),
  'claim.decide': rule(['analyst']),
  'claim.confirm': rule(['analyst']),
  'claim.settle': rule(['analyst']),
  'claim.close': rule(['analyst']),
  'claim.reopen': rule(['analyst']),
  'claim.appeal': rule(['analyst', 'retailer'], 'claims:write'),
  'claim.verify': rule(['analyst', 'administrator']),
  // Retailers see no more of it than what they promised themselves.
  'due.read': rule(['analyst', 'administrator', 'retailer'], 'claims:read'),
  'policy.read': rule(STAFF),
  'calendar.manage': rule(['administrator']),
  'policy.edit': rule(['policy owner']),
  'policy.publish': rule(['policy owner']),
  'model.edit': rule(['policy owner']),
  'model.publish': rule(['policy owner']),
  'return.read': rule(['analyst', 'administrator', 'retailer'], 'returns:read'),
  'return.authorise': rule(['analyst', 'retailer'], 'returns:write'),
  'return.receive': rule(['analyst']),
  'recovery.read': rule(['analyst', 'administrator']),
  'recovery.manage': rule(['analyst']),
  'notice.manage': rule(['administrator']),
  'insight.read': rule(STAFF, 'insight:read'),
  'people.manage': rule(['administrator']),
  'key.manage': rule(['administrator']),
  // Keys that are bound to one's own company, and no others.
  'own-key.manage': rule(['retailer']),
  // Who of the company sees its claims, and where goods and letters go.
  'own-company.manage': rule(['retailer']),
} as const satisfies Readonly<Record<string, Rule>>;

export type Act = keyof typeof RULES;
export const ACTS = Object.keys(RULES) as readonly Act[];

/** The scopes that a key bound to a retailer can make use of: the others lead to nothing that its people may do. */
export const RETAILER_KEY_SCOPES: readonly KeyScope[] = KEY_SCOPES.filter((scope) =>
  Object.values<Rule>(RULES).some(({ key, roles }) => key === scope && roles.includes('retailer')),
);

/** What an act is done to: whose it is and who had a hand in it before. Absent fields do not restrict. */
export interface Thing {
  /** uuid */
  readonly tenant: string;
  readonly retailer?: string | undefined;
  readonly visit?: string | undefined;
  /** Reference (`actorRef`) of whoever filed the claim. */
  readonly filedBy?: string | undefined;
  /** Reference of whoever took the step that a second person now confirms, or wrote the draft that is to be published. */
  readonly firstPerson?: string | undefined;
}

/** `yes`, or the problem code to answer with. */
export type Verdict = 'yes' | 'not-found' | 'not-allowed' | 'own-claim' | 'same-person';

/** Acts that nobody does to a claim that they filed. */
const NOT_ONES_OWN: readonly Act[] = ['claim.decide', 'claim.confirm'];
/** Acts that need somebody else than the first person. */
const SECOND_PERSON: readonly Act[] = ['claim.confirm', 'policy.publish', 'model.publish'];

/**
 * Whether an actor may do an act, and if not, how to say so. What lies outside the actor's tenant, retailer or visit looks as if
 * it did not exist; only then does the role count, so that nothing can be learned by trying.
 */
export function judge(actor: Actor, act: Act, thing?: Thing): Verdict {
  if (thing !== undefined && !reaches(actor, thing)) return 'not-found';
  if (!holds(actor, RULES[act])) return 'not-allowed';
  if (thing === undefined) return 'yes';
  const self = actorRef(actor);
  if (NOT_ONES_OWN.includes(act) && thing.filedBy === self) return 'own-claim';
  if (SECOND_PERSON.includes(act) && thing.firstPerson === self) return 'same-person';
  return 'yes';
}

/** Whether an actor may do an act. */
export function may(actor: Actor, act: Act, thing?: Thing): boolean {
  return judge(actor, act, thing) === 'yes';
}

/** How an actor is written down in rows and events: `person:uuid`. */
export function actorRef(actor: Pick<Actor, 'kind' | 'id'>): string {
  return `${actor.kind}:${actor.id}`;
}

function reaches(actor: Actor, thing: Thing): boolean {
  if (actor.tenant !== thing.tenant) return false;
  if (actor.retailer !== undefined && thing.retailer !== undefined && actor.retailer !== thing.retailer) return false;
  return actor.visit === undefined || thing.visit === undefined || actor.visit === thing.visit;
}

function holds(actor: Actor, rule: Rule): boolean {
  switch (actor.kind) {
    case 'service':
      return true;
    case 'person':
    case 'link':
      return rule.roles.some((role) => actor.roles.includes(role));
    case 'key': {
      // A key bound to a retailer does no more than that retailer's people could.
      const boundEnough = actor.retailer === undefined || rule.roles.includes('retailer');
      return rule.key !== undefined && boundEnough && (actor.scopes ?? []).includes(rule.key);
    }
  }
}
