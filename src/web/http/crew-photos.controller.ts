import { randomUUID } from 'node:crypto';
import type { Multipart } from '@fastify/multipart';
import { Body, Controller, Post, Req, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { EvidenceService } from '../../evidence/evidence.service.js';
import { PhotoReceiptsService } from '../../evidence/photo-receipts.service.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Refused } from '../../platform/http/problems.js';
import { text, type Form } from '../form-fields.js';
import { goTo } from '../html.js';
import { localAddress } from '../local-address.js';

/** Photos by hand: sent by a form where no script runs, and taken out again. */
@ApiExcludeController()
@Controller('crew')
export class CrewPhotosController {
  constructor(
    private readonly receipts: PhotoReceiptsService,
    private readonly evidence: EvidenceService,
  ) {}

  /** Photos sent by a form, where no script runs. */
  @Post('inspections/:id/photos')
  @Needs('exhibit.add')
  async photos(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    if (!request.isMultipart()) throw new Refused('unsupported-media-type', 'Choose a photo and send the form again.');
    const fields = new Map<string, string>();
    try {
      for await (const part of request.parts()) {
        if (part.type === 'field') {
          fields.set(part.fieldname, fieldText(part));
          continue;
        }
        const [item, shows] = [fields.get('item') ?? '', fields.get('shows') ?? ''];
        const photo = {
          id: randomUUID(),
          inspectionId: id,
          item,
          shows,
          fileName: part.filename.slice(0, 200),
          declaredType: part.mimetype,
        };
        await this.receipts.keep(actor, photo, part.file);
      }
    } catch (error) {
      // The rest of the upload is read past, so that the sender gets to read the answer.
      request.raw.unpipe();
      request.raw.resume();
      throw error;
    }
    goTo(reply, `/crew/inspections/${id}?check=${encodeURIComponent(fields.get('item') ?? '')}#photos`);
  }

  @Post('photos/:id/withdrawal')
  @Needs('exhibit.add')
  async withdraw(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    await this.evidence.withdraw(actor, id);
    goTo(reply, `${localAddress(text(form, 'back'), '/crew')}#photos`);
  }
}

function fieldText(part: Extract<Multipart, { type: 'field' }>): string {
  return typeof part.value === 'string' ? part.value : '';
}
