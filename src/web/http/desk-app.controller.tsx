import { randomBytes } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Controller, Get, Param, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { may, type Actor } from '../../access/access.contract.js';
import { CurrentActor, Public } from '../../access/access.decorators.js';
import { Refused } from '../../platform/http/problems.js';
import { pagePolicy } from '../../platform/http/security-headers.js';
import { DESK } from '../domain/desk-address.js';
import { deskBuild, deskFolder } from '../desk-build.js';
import { goTo, sendPage } from '../html.js';
import { assetAddress } from '../page-assets.js';

const TYPES: Readonly<Record<string, string>> = {
  js: 'text/javascript; charset=utf-8',
  css: 'text/css; charset=utf-8',
  svg: 'image/svg+xml',
};

/** The desk: one page for all its addresses, and the files that the page loads. What it shows comes from the desk's data. */
@ApiExcludeController()
@Controller()
export class DeskAppController {
  @Get([DESK.slice(1), `${DESK.slice(1)}/*`])
  @Public()
  page(@CurrentActor() actor: Actor | undefined, @Req() request: FastifyRequest, @Res() reply: FastifyReply): void {
    if (actor === undefined) return goTo(reply, `/sign-in?next=${encodeURIComponent(request.url)}`);
    if (actor.retailer !== undefined || !may(actor, 'policy.read'))
      throw new Refused(
        'not-allowed',
        'This is the desk, and it is not yours. Your own pages are behind “Start page”.',
      );
    const { script, sheets } = deskBuild();
    // The ready-made parts write a style sheet of their own; it is let in by this word, which no other page knows.
    const nonce = randomBytes(16).toString('base64');
    void reply.header('content-security-policy', pagePolicy(nonce));
    sendPage(
      reply,
      <html lang="en">
        <head>
          <meta charset="utf-8" />
          <meta name="viewport" content="width=device-width, initial-scale=1" />
          <meta name="color-scheme" content="light dark" />
          <title>Desk · As Noted</title>
          <link rel="icon" href={assetAddress('mark.svg')} type="image/svg+xml" />
          {sheets.map((address) => (
            <link rel="stylesheet" href={address} />
          ))}
          <script type="module" src={script} />
        </head>
        <body>
          <div id="desk" data-nonce={nonce}>
            <noscript>
              <p>The desk needs scripts. Allow them for this address, or ask your administrator for another browser.</p>
            </noscript>
          </div>
        </body>
      </html>,
    );
  }

  @Get('assets/desk/:name')
  @Public()
  file(@Param('name') name: string, @Res() reply: FastifyReply): void {
    const type = TYPES[name.slice(name.lastIndexOf('.') + 1)];
    const body = type !== undefined && /^[\w-]+(\.[\w-]+)+$/.test(name) ? readBuilt(name) : undefined;
    if (type === undefined || body === undefined) throw new Refused('not-found', 'There is no such file.');
    // A script that runs as a worker has the policy that it comes with; it loads the rest of itself from here.
    void reply.header('content-security-policy', `default-src 'self'`);
    // The name holds the hash of what is in it.
    void reply.header('cache-control', 'public, max-age=31536000, immutable').type(type).send(body);
  }
}

function readBuilt(name: string): Buffer | undefined {
  try {
    return readFileSync(join(deskFolder(), name));
  } catch {
    return undefined;
  }
}
