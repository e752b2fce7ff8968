import { describe, expect, it } from 'vitest';
import { ROLES, type Role } from '../../kernel/vocabulary.js';
import { serviceActor, type Actor } from './actor.js';
import { ACTS, actorRef, judge, KEY_SCOPES, may, RETAILER_KEY_SCOPES, type Act } from './may.js';

const TENANT = '11111111-1111-4111-8111-111111111111';
const OTHER = '22222222-2222-4222-8222-222222222222';
const RETAILER = '33333333-3333-4333-8333-333333333333';
const VISIT = '44444444-4444-4444-8444-444444444444';

function person(roles: readonly Role[], more: Partial<Actor> = {}): Actor {
  return { kind: 'person', tenant: TENANT, id: 'p1', name: 'Ada', roles, ...more };
}

/** Who may do what, written out a second time by hand: C crew, A analyst, R retailer, P policy owner, D administrator. */
const TABLE: Readonly<Record<Act, string>> = {
  'catalogue.read': 'CARPD',
  'catalogue.write': 'D',
  'visit.read': 'CARPD',
  'visit.plan': 'ARD',
  'visit.receive': 'CAD',
  'visit-link.manage': 'AD',
  'inspection.read': 'CAPD',
  'inspection.fill': 'CA',
  'checklist.read': 'CAPD',
  'checklist.publish': 'PD',
  'exhibit.read': 'CAD',
  'exhibit.add': 'CA',
  'exhibit.supply': 'R',
  'exhibit.locate': 'A',
  'exhibit.compare': 'A',
  'finding.read': 'CAPD',
  'claim.read': 'CARPD',
  'claim.file': 'CAR',
  'claim.inform': 'CAR',
  'claim.withdraw': 'AR',
  'claim.appeal': 'AR',
  'claim.assess': 'A',
  'claim.decide': 'A',
  'claim.confirm': 'A',
  'claim.settle': 'A',
  'claim.close': 'A',
  'claim.reopen': 'A',
  'claim.verify': 'AD',
  'due.read': 'ARD',
  'policy.read': 'APD',
  'calendar.manage': 'D',
  'policy.edit': 'P',
  'policy.publish': 'P',
  'model.edit': 'P',
  'model.publish': 'P',
  'return.read': 'ARD',
  'return.authorise': 'AR',
  'return.receive': 'A',
  'recovery.read': 'AD',
  'recovery.manage': 'A',
  'notice.manage': 'D',
  'insight.read': 'APD',
  'people.manage': 'D',
  'key.manage': 'D',
  'own-company.manage': 'R',
  'own-key.manage': 'R',
};
const LETTER: Readonly<Record<Role, string>> = {
  crew: 'C',
  analyst: 'A',
  retailer: 'R',
  'policy owner': 'P',
  administrator: 'D',
};

describe('what a role may do', () => {
  it('is written for every act', () => {
    expect(Object.keys(TABLE).sort()).toEqual([...ACTS].sort());
  });

  for (const role of ROLES) {
    it.each(ACTS)(`${role}: %s`, (act) => {
      expect(may(person([role]), act)).toBe(TABLE[act].includes(LETTER[role]));
    });
  }

  it('adds up over several roles', () => {
    const both = person(['crew', 'administrator']);
    expect(may(both, 'exhibit.add')).toBe(true);
    expect(may(both, 'people.manage')).toBe(true);
    expect(may(both, 'claim.decide')).toBe(false);
  });

  it('is nothing for somebody without a role', () => {
    expect(ACTS.filter((act) => may(person([]), act))).toEqual([]);
  });
});

describe('whose things', () => {
  it('of another tenant look as if they were not there, before any role is looked at', () => {
    for (const act of ACTS) {
      for (const role of ROLES) expect(judge(person([role]), act, { tenant: OTHER })).toBe('not-found');
      expect(judge(serviceActor(TENANT, 'a job'), act, { tenant: OTHER })).toBe('not-found');
    }
  });

  it('of another retailer look as if they were not there', () => {
    const seller = person(['retailer'], { retailer: RETAILER });
    expect(judge(seller, 'claim.read', { tenant: TENANT, retailer: RETAILER })).toBe('yes');
    expect(judge(seller, 'claim.read', { tenant: TENANT, retailer: OTHER })).toBe('not-found');
    expect(judge(seller, 'claim.decide', { tenant: TENANT, retailer: OTHER })).toBe('not-found');
    expect(judge(seller, 'claim.decide', { tenant: TENANT, retailer: RETAILER })).toBe('not-allowed');
  });

  it('of another visit look as if they were not there for a crew that came by a link', () => {
    const crew: Actor = { kind: 'link', tenant: TENANT, id: 'l1', name: 'Two', roles: ['crew'], visit: VISIT };
    expect(judge(crew, 'exhibit.add', { tenant: TENANT, visit: VISIT })).toBe('yes');
    expect(judge(crew, 'exhibit.add', { tenant: TENANT, visit: OTHER })).toBe('not-found');
  });
});

describe('two pairs of eyes', () => {
  const analyst = person(['analyst', 'policy owner']);
  const self = actorRef(analyst);

  it('nobody decides or confirms a claim that they filed (ASVS 5.0, 2.3.5: high value needs several people)', () => {
    expect(judge(analyst, 'claim.decide', { tenant: TENANT, filedBy: self })).toBe('own-claim');
    expect(judge(analyst, 'claim.confirm', { tenant: TENANT, filedBy: self })).toBe('own-claim');
    expect(judge(analyst, 'claim.decide', { tenant: TENANT, filedBy: 'person:p2' })).toBe('yes');
    expect(judge(analyst, 'claim.assess', { tenant: TENANT, filedBy: self })).toBe('yes');
  });

  it.each(['claim.confirm', 'policy.publish', 'model.publish'] as const)('%s needs somebody else', (act) => {
    expect(judge(analyst, act, { tenant: TENANT, firstPerson: self })).toBe('same-person');
    expect(judge(analyst, act, { tenant: TENANT, firstPerson: 'person:p2' })).toBe('yes');
  });
});

describe('what an API key may do', () => {
  it('is only what its scopes say', () => {
    const key: Actor = { kind: 'key', tenant: TENANT, id: 'k1', name: 'shop', roles: [], scopes: ['claims:read'] };
    expect(ACTS.filter((act) => may(key, act))).toEqual(['claim.read', 'due.read']);
  });

  it('never includes deciding, people, keys, policies or places, whatever the scopes', () => {
    const key: Actor = { kind: 'key', tenant: TENANT, id: 'k1', name: 'shop', roles: [], scopes: KEY_SCOPES };
    for (const act of [
      'claim.decide',
      'people.manage',
      'key.manage',
      'own-key.manage',
      'policy.publish',
      'exhibit.locate',
    ] as const) {
      expect(judge(key, act)).toBe('not-allowed');
    }
  });

  it('is no more than the retailer could, when it is bound to one', () => {
    const key: Actor = {
      kind: 'key',
      tenant: TENANT,
      id: 'k1',
      name: 'shop',
      roles: ['retailer'],
      retailer: RETAILER,
      scopes: KEY_SCOPES,
    };
    const seller = person(['retailer'], { retailer: RETAILER });
    expect(ACTS.filter((act) => may(key, act) && !may(seller, act))).toEqual([]);
    expect(may(key, 'claim.file')).toBe(true);
    expect(may(key, 'catalogue.write')).toBe(false);
    // Offered to a retailer is each scope that opens something to such a key, and no other.
    const opens = KEY_SCOPES.filter((scope) => ACTS.some((act) => may({ ...key, scopes: [scope] }, act)));
    expect(RETAILER_KEY_SCOPES).toEqual(opens);
    expect(opens).not.toContain('insight:read');
  });
});
