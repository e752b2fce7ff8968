import type { FastifyRequest } from 'fastify';
import type { Scope } from '../db/database.js';
import { Refused } from './problems.js';

/** The part of an actor that the platform itself needs: for scoping keys, transactions and log lines. */
export interface Caller {
  readonly kind: string;
  /** uuid of the tenant */
  readonly tenant: string;
  readonly id: string;
  readonly retailer?: string;
  readonly visit?: string;
}

const callers = new WeakMap<object, Caller>();

/** Notes who makes a request, once the guard has found out. Fastify's request object is the key, so nothing can forge it. */
export function setCaller(request: FastifyRequest, caller: Caller): void {
  callers.set(request.raw, caller);
}

/** Who makes the request; undefined before the guard ran and on public routes without a credential. */
export function callerOf(request: FastifyRequest): Caller | undefined {
  return callers.get(request.raw);
}

/** @throws Refused `sign-in-required` when nobody is signed in. */
export function requireCaller(request: FastifyRequest): Caller {
  const caller = callerOf(request);
  if (caller === undefined) throw new Refused('sign-in-required');
  return caller;
}

/** The rows that a caller may see at most. */
export function scopeOf(caller: Pick<Caller, 'tenant' | 'retailer' | 'visit'>): Scope {
  return {
    tenant: caller.tenant,
    ...(caller.retailer === undefined ? {} : { retailer: caller.retailer }),
    ...(caller.visit === undefined ? {} : { visit: caller.visit }),
  };
}
