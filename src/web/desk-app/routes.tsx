import { createRootRoute, createRoute, createRouter, lazyRouteComponent } from '@tanstack/react-router';
import { DESK } from '../domain/desk-address.js';
import { QueuePage } from './queue/queue-page.js';
import { Lost, Shell } from './shell.js';

const root = createRootRoute({ component: Shell, notFoundComponent: Lost });

/** What the address of the queue may say. */
export interface QueueSearch {
  readonly view?: string;
  readonly find?: string;
}

export const queueRoute = createRoute({
  getParentRoute: () => root,
  path: '/',
  component: QueuePage,
  validateSearch: ({ view, find }: Record<string, unknown>): QueueSearch => ({
    ...(typeof view === 'string' ? { view } : {}),
    ...(typeof find === 'string' && find !== '' ? { find } : {}),
  }),
});

export const caseRoute = createRoute({
  getParentRoute: () => root,
  path: '/claims/$id',
  component: lazyRouteComponent(() => import('./case/case-page.js'), 'CasePage'),
});

export const router = createRouter({
  basepath: DESK,
  routeTree: root.addChildren([queueRoute, caseRoute]),
  defaultPreload: 'intent',
  scrollRestoration: true,
});

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
