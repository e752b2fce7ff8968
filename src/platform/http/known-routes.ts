import type { FastifyInstance } from 'fastify';

interface KnownRoute {
  readonly methods: readonly string[];
  readonly matches: RegExp;
}

const routes = new WeakMap<object, KnownRoute[]>();

/** Starts to note every route, so that a wrong method can be told from an unknown address. Call before routes are added. */
export function noteRoutes(server: FastifyInstance): void {
  const known: KnownRoute[] = [];
  routes.set(server.server, known);
  server.addHook('onRoute', (route) => {
    if (!route.url.includes('*')) known.push({ methods: [route.method].flat(), matches: pattern(route.url) });
  });
}

/** Methods that the address takes, sorted; none when the address is unknown. */
export function methodsAt(server: FastifyInstance, url: string): readonly string[] {
  const path = url.split('?', 1)[0] ?? '/';
  const found = (routes.get(server.server) ?? []).filter((route) => route.matches.test(path));
  return [...new Set(found.flatMap((route) => route.methods))].sort();
}

function pattern(url: string): RegExp {
  const steps = url.split('/').map((step) => (step.startsWith(':') ? '[^/]+' : RegExp.escape(step)));
  return new RegExp(`^${steps.join('/')}/?$`);
}
