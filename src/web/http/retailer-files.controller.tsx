import { randomUUID } from 'node:crypto';
import type { Multipart } from '@fastify/multipart';
import { Controller, Post, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ClaimReviewService } from '../../claims/claim-review.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { PhotoReceiptsService } from '../../evidence/photo-receipts.service.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { VersionMatch } from '../../platform/http/versions.js';
import { demandRetailer } from '../demand-retailer.js';
import { attempt, fault, type Form, type Trouble } from '../form-fields.js';
import { goTo } from '../html.js';
import { RetailerClaimPages } from './retailer-claim.pages.js';

/** Photos and scans that a retailer adds to a claim of its own, by a form that needs no scripts. */
@ApiExcludeController()
@Controller('claims')
export class RetailerFilesController {
  constructor(
    private readonly claims: ClaimsService,
    private readonly review: ClaimReviewService,
    private readonly receipts: PhotoReceiptsService,
    private readonly pages: RetailerClaimPages,
  ) {}

  /** The same file twice gives the same receipt. Files that were taken in before one that is refused stay. */
  @Post(':id/files')
  @Needs('exhibit.supply')
  async add(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    if (!request.isMultipart()) throw new Refused('unsupported-media-type', 'Send the form with its files.');
    const claim = await this.claims.get(actor, id);
    const { inspectionId } = claim;
    const fields = new Map<string, string>();
    const kept: { readonly id: string; readonly isNew: boolean }[] = [];
    const done = await attempt(async () => {
      if (inspectionId === null || claim.state === 'withdrawn') throw takesNone();
      for await (const part of partsOf(request)) {
        if (part.type === 'field') fields.set(part.fieldname, String(part.value));
        else kept.push(...(await this.keep(actor, inspectionId, fields.get('item') ?? '', part)));
      }
      if (kept.length === 0) throw fault('file', 'No file came. Choose at least one photo or scan.');
    });
    if (kept.some(({ isNew }) => isNew) && claim.state === 'proposed') await this.haveLookedAt(actor, id);
    if (done.ok) {
      goTo(reply, `/claims/${id}?${new URLSearchParams(kept.map((each) => ['kept', each.id])).toString()}`);
      return;
    }
    // What the browser still sends is read past, so that it gets to read the answer.
    request.raw.unpipe();
    request.raw.resume();
    const form: Form = { item: fields.get('item') ?? '' };
    await this.pages.show(actor, id, reply, { tried: { act: 'files', form, trouble: keptBefore(done.trouble, kept) } });
  }

  private async keep(
    actor: Actor,
    inspectionId: string,
    item: string,
    part: Extract<Multipart, { type: 'file' }>,
  ): Promise<readonly { readonly id: string; readonly isNew: boolean }[]> {
    // A file field that was left empty comes as a nameless file without bytes.
    if (part.filename === '') {
      part.file.resume();
      return [];
    }
    if (item === '') {
      part.file.resume();
      throw fault('item', 'Choose which question of the inspection the file answers.');
    }
    const photo = {
      id: randomUUID(),
      inspectionId,
      item: item.slice(0, 100),
      shows: 'extra',
      fileName: part.filename.slice(0, 200),
      declaredType: part.mimetype,
    };
    const { row, found } = await this.receipts.keep(actor, photo, part.file);
    // Damaged so badly that nothing in it can be read: it is kept, and is of no use to anybody.
    if (row.state === 'failed' && row.reading === null) throw new Refused('photo-damaged', row.failure ?? undefined);
    return [{ id: row.id, isNew: found === 'new' }];
  }

  /** A proposal that was made without the file is made again with it, unless it was decided on meanwhile. */
  private async haveLookedAt(actor: Actor, id: string): Promise<void> {
    const given = { words: 'The retailer added photos or scans after the proposal.', facts: {} };
    await attempt(() => this.review.lookAgain(actor, id, given, VersionMatch.read('*')));
  }
}

/** The parts of the form; a file over the limit is refused like any other that cannot be taken. */
async function* partsOf(request: FastifyRequest): AsyncGenerator<Multipart, void, undefined> {
  try {
    yield* request.parts();
  } catch (error) {
    throw refusalFor(error);
  }
}

function refusalFor(error: unknown): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'FST_REQ_FILE_TOO_LARGE') return new Refused('photo-too-large', 'Send a smaller picture.');
  if (code === 'FST_FILES_LIMIT') return new Refused('invalid-request', 'Send fewer files at once.');
  return error;
}

function takesNone(): Refused {
  return new Refused(
    'not-found',
    'This claim takes no files: it rests on no inspection, or it was withdrawn. Write what matters on its page.',
  );
}

/** What was typed stays; files do not, and the person is told which of them are in. */
function keptBefore(trouble: Trouble, kept: readonly unknown[]): Trouble {
  const words = kept.length === 0 ? 'No file was kept.' : `The files before this one are in: ${kept.length}.`;
  const before = trouble.code === 'invalid-request' ? '' : `${trouble.detail} `;
  return { ...trouble, detail: `${before}${words} Choose the others again; a file that is in already is not doubled.` };
}
