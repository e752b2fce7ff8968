import { AsyncLocalStorage } from 'node:async_hooks';

/** What every log line of one request or job carries. */
export interface RequestContext {
  readonly requestId: string;
  tenant?: string;
  actor?: string;
}

const context = new AsyncLocalStorage<RequestContext>();

/** Runs work so that log lines written meanwhile carry the context. */
export function inContext<T>(of: RequestContext, work: () => T): T {
  return context.run(of, work);
}

/** From here on, for the rest of this chain of calls. For hooks that return before the work is done. */
export function enterContext(of: RequestContext): void {
  context.enterWith(of);
}

export function currentContext(): RequestContext | undefined {
  return context.getStore();
}

/** Adds who is acting, once that is known. */
export function noteActor(tenant: string, actor: string): void {
  const current = context.getStore();
  if (current === undefined) return;
  current.tenant = tenant;
  current.actor = actor;
}
