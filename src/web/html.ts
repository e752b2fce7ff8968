import type { FastifyReply } from 'fastify';
import type { VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';

/** A page as text. */
export function html(page: VNode): string {
  return `<!doctype html>${renderToString(page)}`;
}

/**
 * Answers with a page. The address of a page may hold an id, so other sites are not told it; our own forms tell their origin, which the
 * guard against cross-site requests asks for where a browser sends no Sec-Fetch-Site.
 */
export function sendPage(reply: FastifyReply, page: VNode, status = 200): void {
  void reply
    .code(status)
    .type('text/html; charset=utf-8')
    .header('referrer-policy', 'same-origin')
    .header('vary', 'cookie')
    .send(html(page));
}

/** Sends the browser on after a form (303, RFC 9110 section 15.4.4), so that going back or reloading sends nothing twice. */
export function goTo(reply: FastifyReply, address: string): void {
  void reply.code(303).header('location', address).send();
}
