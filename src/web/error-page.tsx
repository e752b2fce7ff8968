import type { Actor } from '../access/access.contract.js';
import { callerOf } from '../platform/http/caller.js';
import type { ErrorPage } from '../platform/http/problem.filter.js';
import { html } from './html.js';
import { homeOf, onlookerOf } from './onlookers.js';
import { Message } from './pages/front-door.js';

/**
 * What a browser gets instead of a problem document: the sign-in page where signing in is all that is missing, otherwise a page that says
 * what happened and what to do.
 */
export const errorPage: ErrorPage = (problem, request) => {
  const code = problem.type.replace('/problems/', '');
  const reads = request.method === 'GET' || request.method === 'HEAD';
  const crew = /^\/(crew|visit)(\/|$|\?)/.test(request.url);
  if (code === 'sign-in-required' && reads && !crew)
    return { redirect: `/sign-in?next=${encodeURIComponent(request.url)}` };
  const actor = callerOf(request) as Actor | undefined;
  const onlooker = actor === undefined || actor.kind === 'link' ? undefined : onlookerOf(actor);
  const home = actor === undefined ? '/' : actor.kind === 'link' ? '/crew' : homeOf(actor.roles);
  const { title, says } = words(code, crew, problem);
  const actions =
    crew && problem.status === 401
      ? [{ address: '/visit', says: 'Open a link' }]
      : [{ address: home, says: 'Start page' }];
  return { html: html(<Message title={title} says={says} onlooker={onlooker} actions={actions} />) };
};

function words(
  code: string,
  crew: boolean,
  problem: { readonly title: string; readonly detail: string; readonly traceId: string },
): { readonly title: string; readonly says: readonly string[] } {
  switch (code) {
    case 'sign-in-required':
      return crew
        ? {
            title: 'Open your link first',
            says: ['This page belongs to a visit. Open the link from the message of the office again.'],
          }
        : {
            title: 'You are signed out',
            says: [
              'Nothing was saved. Sign in in another tab, come back to the form and send it again: what you typed is still there.',
            ],
          };
    case 'link-expired':
      return {
        title: 'The link has expired',
        says: [
          'Ask the office for a new one; it takes them a minute.',
          'What you have sent is safe. What is still on this phone stays there and can be sent with the new link.',
        ],
      };
    case 'link-unknown':
      return {
        title: 'This link does not open anything',
        says: [
          'It may have been cut off when it was copied. Open it from the message itself, or ask the office for a new one.',
        ],
      };
    case 'not-found':
      return {
        title: 'There is no such page',
        says: [
          'The address may have a slip in it, or what it led to belongs to somebody else. Go on from your start page.',
        ],
      };
    case 'server-error':
      return {
        title: 'Something broke on our side',
        says: [`Try again in a moment. If it stays, tell us this: ${problem.traceId}.`],
      };
    default:
      return { title: problem.title, says: [problem.detail] };
  }
}
