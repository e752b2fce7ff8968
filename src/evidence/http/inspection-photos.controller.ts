import { randomUUID } from 'node:crypto';
import type { Multipart } from '@fastify/multipart';
import { Controller, Get, Post, Put, Query, Req, Res } from '@nestjs/common';
import {
  ApiBody,
  type ApiBodyOptions,
  ApiConsumes,
  ApiCreatedResponse,
  ApiHeader,
  ApiOkResponse,
  ApiOperation,
  ApiTags,
} from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import type { Fault } from '../../kernel/outcome.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { pageOf, PageQuery, pageSize, readCursor, sendPage } from '../../platform/http/pages.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Invalid, Refused, type ProblemCode } from '../../platform/http/problems.js';
import { EvidenceService } from '../evidence.service.js';
import type { ArrivingPhoto, Intake } from '../photo-intake.service.js';
import { PhotoReceiptsService } from '../photo-receipts.service.js';
import { rawBytes, readPast, statedDigest } from './arriving-photo.js';
import { ExhibitPageDto, PhotoPlaceQuery, PhotoReceiptDto, PhotoReceiptsDto } from './photo.dto.js';
import { exhibitDto, receiptDto } from './photo.mapper.js';

/** What a photo may be refused with, whichever way it comes. */
const PHOTO_PROBLEMS = [
  'not-found',
  'photo-empty',
  'photo-not-an-image',
  'photo-damaged',
  'photo-too-many-pixels',
  'photo-too-large',
  'unsupported-media-type',
] as const satisfies readonly ProblemCode[];

const RAW = { schema: { type: 'string', format: 'binary' } } as const;
const FORM = {
  schema: {
    type: 'object',
    required: ['item', 'shows', 'file'] as string[],
    properties: {
      item: { type: 'string', description: 'Before the files.' },
      shows: { type: 'string', description: 'Before the files.' },
      file: { type: 'array', items: { type: 'string', format: 'binary' } },
    },
  },
} satisfies ApiBodyOptions;

@ApiTags('photos')
@Controller('v1/inspections/:inspectionId/photos')
export class InspectionPhotosController {
  constructor(
    private readonly receipts: PhotoReceiptsService,
    private readonly evidence: EvidenceService,
  ) {}

  @Put(':photoId')
  @Needs('exhibit.add')
  @ApiOperation({ summary: 'Send one photo as raw bytes under an id of your own; sending it again is safe' })
  @ApiHeader({ name: 'Content-Digest', required: true, description: 'RFC 9530: sha-256=:<base64>:' })
  @ApiConsumes('image/jpeg', 'image/png', 'image/webp', 'image/heic', 'application/octet-stream')
  @ApiBody(RAW)
  @ApiCreatedResponse({ type: PhotoReceiptDto })
  @ApiOkResponse({ type: PhotoReceiptDto, description: 'It was here already.' })
  @Problems(...PHOTO_PROBLEMS, 'photo-id-taken', 'photo-digest-missing', 'photo-digest-mismatch')
  async put(
    @CurrentActor() actor: Actor,
    @IdParam('inspectionId') inspectionId: string,
    @IdParam('photoId') photoId: string,
    @Query() place: PhotoPlaceQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PhotoReceiptDto> {
    try {
      const content = rawBytes(request);
      const photo = { ...placeIn(place), id: photoId, inspectionId, sha256: statedDigest(request.headers) };
      const intake = await this.receipts.keep(
        actor,
        { ...photo, ...declaredType(request.headers['content-type']) },
        content,
      );
      tellWhether(reply, [intake]);
      void reply.header('location', `/v1/photos/${intake.row.id}`);
      return receiptDto(intake, photoId);
    } catch (error) {
      readPast(request);
      throw error;
    }
  }

  @Post()
  @Needs('exhibit.add')
  @ApiOperation({ summary: 'Send photos by a form, for use by hand; the same file again gives the same receipt' })
  @ApiConsumes('multipart/form-data')
  @ApiBody(FORM)
  @ApiCreatedResponse({ type: PhotoReceiptsDto })
  @Problems(...PHOTO_PROBLEMS)
  async post(
    @CurrentActor() actor: Actor,
    @IdParam('inspectionId') inspectionId: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<PhotoReceiptsDto> {
    if (!request.isMultipart())
      throw new Refused('unsupported-media-type', 'Send a form with files (multipart/form-data).');
    const taken: { readonly intake: Intake; readonly sentId: string }[] = [];
    try {
      const fields = new Map<string, string>();
      for await (const part of request.parts()) {
        if (part.type === 'field') {
          fields.set(part.fieldname, String(part.value));
          continue;
        }
        const sentId = randomUUID();
        const photo = { ...placeOf(fields), ...nameOf(part), ...declaredType(part.mimetype), id: sentId, inspectionId };
        taken.push({ intake: await this.receipts.keep(actor, photo, part.file), sentId });
      }
      if (taken.length === 0) throw new Invalid([{ pointer: '#/file', detail: 'Choose at least one photo.' }]);
    } catch (error) {
      readPast(request);
      throw withKept(
        error,
        taken.map(({ intake, sentId }) => receiptDto(intake, sentId)),
      );
    }
    tellWhether(
      reply,
      taken.map(({ intake }) => intake),
    );
    return { photos: taken.map(({ intake, sentId }) => receiptDto(intake, sentId)) };
  }

  @Get()
  @Needs('exhibit.read')
  @ApiOperation({ summary: 'The photos of an inspection, a page at a time, in order of receipt' })
  @ApiOkResponse({ type: ExhibitPageDto })
  @Problems('not-found', 'cursor-invalid')
  async list(
    @CurrentActor() actor: Actor,
    @IdParam('inspectionId') inspectionId: string,
    @Query() query: PageQuery,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<ExhibitPageDto> {
    const size = pageSize(query);
    const key = readCursor(query, 'iu');
    const after = key && { receivedAt: String(key[0]), id: String(key[1]) };
    const views = await this.evidence.page(actor, inspectionId, after, size + 1);
    const page = pageOf(
      views,
      size,
      ({ row }) => [row.receivedAt, row.id],
      (view) => exhibitDto(view, actor),
    );
    return { ...sendPage(request, reply, page), items: [...page.items] };
  }
}

function placeIn(query: PhotoPlaceQuery): Pick<ArrivingPhoto, 'item' | 'shows' | 'fileName' | 'takenAt'> {
  const { item, shows, fileName, takenAt } = query;
  return {
    item,
    shows,
    ...(fileName === undefined ? {} : { fileName }),
    ...(takenAt === undefined ? {} : { takenAt }),
  };
}

function tellWhether(reply: FastifyReply, intakes: readonly Intake[]): void {
  void reply.code(intakes.some(({ found }) => found === 'new') ? 201 : 200);
}

function declaredType(header: string | undefined): { readonly declaredType?: string } {
  return header === undefined ? {} : { declaredType: header };
}

function nameOf(part: Extract<Multipart, { type: 'file' }>): { readonly fileName?: string } {
  return part.filename ? { fileName: part.filename.slice(0, 200) } : {};
}

/** The fields must come before the files, because each file is taken in as it arrives. */
function placeOf(fields: ReadonlyMap<string, string>): { readonly item: string; readonly shows: string } {
  const item = fields.get('item') ?? '';
  const shows = fields.get('shows') ?? '';
  const faults: Fault[] = Object.entries({ item, shows })
    .filter(([, value]) => value === '' || value.length > 100)
    .map(([name]) => ({
      pointer: `#/${name}`,
      detail: `Give "${name}" in the form, before the files, in at most 100 characters.`,
    }));
  if (faults.length > 0) throw new Invalid(faults);
  return { item, shows };
}

/** Photos that were taken in before the one that was refused stay; the refusal says which. */
function withKept(error: unknown, kept: readonly PhotoReceiptDto[]): unknown {
  if (!(error instanceof Refused) || error instanceof Invalid || kept.length === 0) return error;
  return new Refused(error.code, error.detail, { ...error.extra, kept });
}
