import { createRootRoute, createRoute, createRouter, lazyRouteComponent } from '@tanstack/react-router';
import { DESK } from '../domain/desk-address.js';
import { QueuePage } from './queue/queue-page.js';
import { Lost, Shell } from './shell.js';

const root = createRootRoute({ component: Shell, notFoundComponent: Lost });

/** Words of an address, by name; what is empty is left out, and what nobody asked for as well. */
function words<Name extends string>(
  search: Readonly<Record<string, unknown>>,
  names: readonly Name[],
): Partial<Record<Name, string>> {
  const given = names.flatMap((name) => {
    const value = search[name];
    // A word of digits comes as a number.
    const word = typeof value === 'number' ? String(value) : value;
    return typeof word === 'string' && word !== '' ? [[name, word] as const] : [];
  });
  return Object.fromEntries(given) as Partial<Record<Name, string>>;
}

export const queueRoute = createRoute({
  getParentRoute: () => root,
  path: '/',
  component: QueuePage,
  validateSearch: (search: Record<string, unknown>) => words(search, ['view', 'find', 'ground']),
});

export const caseRoute = createRoute({
  getParentRoute: () => root,
  path: '/claims/$id',
  component: lazyRouteComponent(() => import('./case/case-page.js'), 'CasePage'),
});

export const recoveriesRoute = createRoute({
  getParentRoute: () => root,
  path: '/recoveries',
  component: lazyRouteComponent(() => import('./recovery/recoveries-page.js'), 'RecoveriesPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['party', 'state', 'by']),
});

export const statementsRoute = createRoute({
  getParentRoute: () => root,
  path: '/recoveries/statements',
  component: lazyRouteComponent(() => import('./recovery/statements-page.js'), 'StatementsPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['party']),
});

export const recoveryRoute = createRoute({
  getParentRoute: () => root,
  path: '/recoveries/$id',
  component: lazyRouteComponent(() => import('./recovery/recovery-page.js'), 'RecoveryPage'),
});

export const dueRoute = createRoute({
  getParentRoute: () => root,
  path: '/due',
  component: lazyRouteComponent(() => import('./recovery/due-page.js'), 'DuePage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['within', 'owedBy']),
});

export const visitsRoute = createRoute({
  getParentRoute: () => root,
  path: '/visits',
  component: lazyRouteComponent(() => import('./visits/visits-page.js'), 'VisitsPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['find', 'stage']),
});

export const planVisitRoute = createRoute({
  getParentRoute: () => root,
  path: '/visits/new',
  component: lazyRouteComponent(() => import('./visits/plan-page.js'), 'PlanPage'),
});

export const visitRoute = createRoute({
  getParentRoute: () => root,
  path: '/visits/$id',
  component: lazyRouteComponent(() => import('./visits/visit-page.js'), 'VisitPage'),
});

export const figuresRoute = createRoute({
  getParentRoute: () => root,
  path: '/figures',
  component: lazyRouteComponent(() => import('./figures/figures-page.js'), 'FiguresPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['from', 'until', 'retailer', 'maker']),
});

export const checklistsRoute = createRoute({
  getParentRoute: () => root,
  path: '/checklists',
  component: lazyRouteComponent(() => import('./checklists/checklists-page.js'), 'ChecklistsPage'),
});

export const checklistRoute = createRoute({
  getParentRoute: () => root,
  path: '/checklists/$id/$version',
  component: lazyRouteComponent(() => import('./checklists/checklist-page.js'), 'ChecklistPage'),
});

export const policySheetRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id/$version',
  component: lazyRouteComponent(() => import('./policies/sheet/sheet-page.js'), 'SheetPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['part']),
});

export const policyTryRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id/$version/try',
  component: lazyRouteComponent(() => import('./policies/sheet/try-page.js'), 'TryPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['example']),
});

export const modelsRoute = createRoute({
  getParentRoute: () => root,
  path: '/models',
  component: lazyRouteComponent(() => import('./models/models-page.js'), 'ModelsPage'),
});

export const modelRoute = createRoute({
  getParentRoute: () => root,
  path: '/models/$id/$version',
  component: lazyRouteComponent(() => import('./models/model-page.js'), 'ModelPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['part', 'sign', 'subject', 'find', 'against']),
});

export const policiesRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies',
  component: lazyRouteComponent(() => import('./policies/policies-page.js'), 'PoliciesPage'),
});

export const policyRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id',
  component: lazyRouteComponent(() => import('./policies/policy-page.js'), 'PolicyPage'),
});

export const policyReviewRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id/$version/review',
  component: lazyRouteComponent(() => import('./policies/review-page.js'), 'ReviewPage'),
});

export const policyDifferenceRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id/$version/difference',
  component: lazyRouteComponent(() => import('./policies/difference-page.js'), 'DifferencePage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['against']),
});

export const policyRehearseRoute = createRoute({
  getParentRoute: () => root,
  path: '/policies/$id/$version/rehearse',
  component: lazyRouteComponent(() => import('./rehearsals/rehearse-page.js'), 'RehearsePage'),
});

export const rehearsalRoute = createRoute({
  getParentRoute: () => root,
  path: '/rehearsals/$id',
  component: lazyRouteComponent(() => import('./rehearsals/rehearsal-page.js'), 'RehearsalPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['kind', 'order']),
});

export const rehearsedClaimRoute = createRoute({
  getParentRoute: () => root,
  path: '/rehearsals/$id/claims/$record',
  component: lazyRouteComponent(() => import('./rehearsals/rehearsed-claim-page.js'), 'RehearsedClaimPage'),
});

export const recordRoute = createRoute({
  getParentRoute: () => root,
  path: '/records/$id',
  component: lazyRouteComponent(() => import('./records/record-page.js'), 'RecordPage'),
});

export const peopleRoute = createRoute({
  getParentRoute: () => root,
  path: '/people',
  component: lazyRouteComponent(() => import('./people/people-page.js'), 'PeoplePage'),
});

export const phonesRoute = createRoute({
  getParentRoute: () => root,
  path: '/phones',
  component: lazyRouteComponent(() => import('./phones/phones-page.js'), 'PhonesPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['state']),
});

export const trailRoute = createRoute({
  getParentRoute: () => root,
  path: '/trail',
  component: lazyRouteComponent(() => import('./trail/trail-page.js'), 'TrailPage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['source', 'who', 'kind', 'claim', 'from', 'to']),
});

export const catalogueRoute = createRoute({
  getParentRoute: () => root,
  path: '/catalogue',
  component: lazyRouteComponent(() => import('./catalogue/catalogue-page.js'), 'CataloguePage'),
  validateSearch: (search: Record<string, unknown>) => words(search, ['find', 'maker']),
});

export const newModelRoute = createRoute({
  getParentRoute: () => root,
  path: '/catalogue/new',
  component: lazyRouteComponent(() => import('./catalogue/new-model-page.js'), 'NewModelPage'),
});

export const catalogueModelRoute = createRoute({
  getParentRoute: () => root,
  path: '/catalogue/models/$sku',
  component: lazyRouteComponent(() => import('./catalogue/model-page.js'), 'ModelPage'),
});

export const router = createRouter({
  basepath: DESK,
  routeTree: root.addChildren([
    queueRoute,
    caseRoute,
    recoveriesRoute,
    statementsRoute,
    recoveryRoute,
    dueRoute,
    figuresRoute,
    visitsRoute,
    planVisitRoute,
    visitRoute,
    checklistsRoute,
    checklistRoute,
    policySheetRoute,
    policyTryRoute,
    modelsRoute,
    modelRoute,
    policiesRoute,
    policyRoute,
    policyReviewRoute,
    policyDifferenceRoute,
    policyRehearseRoute,
    rehearsalRoute,
    rehearsedClaimRoute,
    recordRoute,
    peopleRoute,
    phonesRoute,
    trailRoute,
    catalogueRoute,
    newModelRoute,
    catalogueModelRoute,
  ]),
  defaultPreload: 'intent',
  scrollRestoration: true,
});

declare module '@tanstack/react-router' {
  interface Register {
    router: typeof router;
  }
}
