import type { Role } from '../../kernel/vocabulary.js';

/** Who does something: a person with a session, an API key, a crew that came by a visit link, or the service itself. */
export interface Actor {
  readonly kind: 'person' | 'key' | 'link' | 'service';
  /** uuid */
  readonly tenant: string;
  /** uuid of the person, key or link; the job's or command's name for the service */
  readonly id: string;
  readonly name: string;
  readonly roles: readonly Role[];
  /** Set for people and keys of a retailer: they see only its things. */
  readonly retailer?: string;
  /** Set for visit links: they see only this visit. */
  readonly visit?: string;
  /** Set for keys. */
  readonly scopes?: readonly string[];
}

/** The service acting by itself, in jobs and commands. @param tenant uuid @param id name of the job or command */
export function serviceActor(tenant: string, id: string): Actor {
  return { kind: 'service', tenant, id, name: 'As Noted', roles: [] };
}
