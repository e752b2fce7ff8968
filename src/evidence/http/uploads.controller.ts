import type { Readable } from 'node:stream';
import { Body, Controller, Delete, Head, HttpCode, Options, Patch, Post, Put, Req, Res } from '@nestjs/common';
import { ApiConsumes, ApiCreatedResponse, ApiHeader, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs, Public } from '../../access/access.decorators.js';
import type { Config } from '../../platform/config/config.js';
import { InjectConfig } from '../../platform/config/inject-config.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { Invalid, Refused } from '../../platform/http/problems.js';
import { readUploadMetadata } from '../domain/upload-metadata.js';
import { PhotoReceiptsService } from '../photo-receipts.service.js';
import type { UploadRow } from '../store/upload.store.js';
import { TUS_EXTENSIONS, TUS_VERSION } from '../uploads/tus-protocol.js';
import { UploadsService } from '../uploads/uploads.service.js';
import { readPast } from './arriving-photo.js';
import { PhotoReceiptDto } from './photo.dto.js';
import { receiptDto } from './photo.mapper.js';
import { UploadDigestDto } from './upload.dto.js';

const CHUNK = 'application/offset+octet-stream';
const VERSION_HEADER = { name: 'Tus-Resumable', required: true, description: TUS_VERSION } as const;

/** Resumable uploads of photos by the tus protocol, version 1.0.0. */
@ApiTags('photos')
@Controller('v1/uploads')
export class UploadsController {
  constructor(
    private readonly uploads: UploadsService,
    private readonly receipts: PhotoReceiptsService,
    @InjectConfig() private readonly config: Config,
  ) {}

  @Options()
  @Public()
  @HttpCode(204)
  @ApiOperation({ summary: 'Version, extensions and largest size of resumable uploads (tus 1.0.0)' })
  options(@Res({ passthrough: true }) reply: FastifyReply): void {
    void reply
      .header('tus-resumable', TUS_VERSION)
      .header('tus-version', TUS_VERSION)
      .header('tus-extension', TUS_EXTENSIONS)
      .header('tus-max-size', String(this.config.limits.uploadBytes));
  }

  @Post()
  @Needs('exhibit.add')
  @ApiOperation({ summary: 'Begin a resumable upload of one photo (tus 1.0.0, creation)' })
  @ApiHeader(VERSION_HEADER)
  @ApiHeader({ name: 'Upload-Length', required: true, description: 'Bytes of the whole photo.' })
  @ApiHeader({
    name: 'Upload-Metadata',
    required: true,
    description: 'inspection, photo, item, shows, sha256 (64 hex digits), and if you like filename, filetype, takenat.',
  })
  @ApiCreatedResponse({ description: 'Location is the address of the upload.' })
  @Problems(
    'not-found',
    'photo-empty',
    'photo-id-taken',
    'photo-too-large',
    'photo-quota-reached',
    'too-many-uploads',
    'upload-version-unsupported',
  )
  async create(
    @CurrentActor() actor: Actor,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.speaking(request, reply, async () => {
      const bytes = this.lengthOf(request);
      const read = readUploadMetadata(one(request, 'upload-metadata'));
      if (!read.ok) throw new Invalid(read.faults);
      const { row, answer } = await this.uploads.create(actor, read.metadata, bytes, {
        headers: withoutForeignType(request),
        ...chunkOf(request),
      });
      void reply.header('location', `/v1/uploads/${row.id}`).header('upload-expires', httpDate(row));
      if (answer.offset === undefined) return;
      void reply.header('upload-offset', String(answer.offset));
      if (answer.offset === bytes) await this.uploads.commit(row);
    });
  }

  @Head(':id')
  @Needs('exhibit.add')
  @ApiOperation({ summary: 'How many bytes of an upload are there (tus 1.0.0)' })
  @ApiHeader(VERSION_HEADER)
  @ApiOkResponse({ description: 'Upload-Offset and Upload-Length.' })
  @Problems('not-found', 'upload-in-use', 'upload-version-unsupported')
  async head(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.speaking(request, reply, () => this.answerHead(actor, id, request, reply));
  }

  @Patch(':id')
  @Needs('exhibit.add')
  @HttpCode(204)
  @ApiOperation({ summary: 'Send the next bytes of an upload (tus 1.0.0); with the last ones the photo is taken in' })
  @ApiHeader(VERSION_HEADER)
  @ApiHeader({ name: 'Upload-Offset', required: true, description: 'Bytes that are there already.' })
  @ApiConsumes(CHUNK)
  @Problems(
    'not-found',
    'photo-not-an-image',
    'photo-damaged',
    'photo-id-taken',
    'photo-quota-reached',
    'photo-too-large',
    'photo-too-many-pixels',
    'unsupported-media-type',
    'upload-digest-mismatch',
    'upload-in-use',
    'upload-offset-differs',
    'upload-version-unsupported',
  )
  async patch(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.speaking(request, reply, () => this.answerPatch(actor, id, request, reply));
  }

  @Delete(':id')
  @Needs('exhibit.add')
  @HttpCode(204)
  @ApiOperation({ summary: 'Give an upload up (tus 1.0.0, termination); a photo that was taken in stays' })
  @ApiHeader(VERSION_HEADER)
  @Problems('not-found', 'upload-version-unsupported')
  async end(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    await this.speaking(request, reply, async () => this.uploads.end(await this.uploads.mine(actor, id)));
  }

  /** For networks that let only GET and POST through: tus 1.0.0, X-HTTP-Method-Override. */
  @Post(':id')
  @Needs('exhibit.add')
  @HttpCode(204)
  @ApiOperation({ summary: 'HEAD, PATCH or DELETE by another name: X-HTTP-Method-Override (tus 1.0.0)' })
  @ApiHeader(VERSION_HEADER)
  @ApiHeader({ name: 'X-HTTP-Method-Override', required: true, description: 'HEAD, PATCH or DELETE' })
  @Problems('not-found', 'upload-in-use', 'upload-offset-differs', 'upload-version-unsupported')
  async overridden(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<void> {
    const method = one(request, 'x-http-method-override');
    if (method === 'HEAD') return this.head(actor, id, request, reply);
    if (method === 'PATCH') return this.patch(actor, id, request, reply);
    if (method === 'DELETE') return this.end(actor, id, request, reply);
    throw new Refused('invalid-request', 'X-HTTP-Method-Override must be HEAD, PATCH or DELETE here.');
  }

  @Put(':id/receipt')
  @Needs('exhibit.add')
  @ApiOperation({ summary: 'Make sure that the photo of an upload was taken in; sending it again is safe' })
  @ApiOkResponse({ type: PhotoReceiptDto })
  @Problems('not-found', 'upload-incomplete', 'upload-digest-mismatch', 'photo-not-an-image', 'photo-damaged')
  async receipt(
    @CurrentActor() actor: Actor,
    @IdParam('id') id: string,
    @Body() { sha256 }: UploadDigestDto,
  ): Promise<PhotoReceiptDto> {
    const row = await this.uploads.mine(actor, id);
    if (row.sha256 !== sha256) {
      throw new Refused('upload-digest-mismatch', 'The upload was begun for a photo with another digest.');
    }
    return receiptDto(await this.receipts.lookedAt(await this.uploads.commit(row)), row.photo.photoId);
  }

  private async answerHead(actor: Actor, id: string, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const row = await this.uploads.mine(actor, id);
    const { offset = 0, metadata } = await this.uploads.pass(row, { method: 'HEAD', headers: request.headers });
    void reply
      .header('upload-offset', String(offset))
      .header('upload-length', String(row.bytes))
      .header('upload-expires', httpDate(row))
      .header('cache-control', 'no-store');
    if (metadata !== undefined) void reply.header('upload-metadata', metadata);
  }

  private async answerPatch(actor: Actor, id: string, request: FastifyRequest, reply: FastifyReply): Promise<void> {
    const row = await this.uploads.mine(actor, id);
    const chunk = chunkOf(request);
    if (!chunk.body) throw new Refused('unsupported-media-type', `Send the bytes as ${CHUNK}.`);
    const { offset = 0 } = await this.uploads.pass(row, { method: 'PATCH', headers: request.headers, ...chunk });
    void reply.header('upload-offset', String(offset)).header('upload-expires', httpDate(row));
    if (offset === row.bytes) await this.uploads.commit(row);
  }

  /** What holds for every request of the protocol: the version, said by both sides, and no half-read bodies. */
  private async speaking(request: FastifyRequest, reply: FastifyReply, work: () => Promise<void>): Promise<void> {
    void reply.header('tus-resumable', TUS_VERSION);
    try {
      if (one(request, 'tus-resumable') !== TUS_VERSION) {
        void reply.header('tus-version', TUS_VERSION);
        throw new Refused('upload-version-unsupported', `Send Tus-Resumable: ${TUS_VERSION}.`);
      }
      await work();
    } catch (error) {
      readPast(request);
      throw error;
    }
  }

  private lengthOf(request: FastifyRequest): number {
    const text = one(request, 'upload-length') ?? '';
    if (!/^\d{1,15}$/.test(text)) {
      const detail = 'Upload-Length must be the number of bytes of the whole photo; it cannot be left for later.';
      throw new Invalid([{ pointer: '#/Upload-Length', detail }]);
    }
    const bytes = Number(text);
    if (bytes === 0) throw new Refused('photo-empty', 'The photo is empty (zero bytes). Send it again.');
    const { uploadBytes } = this.config.limits;
    if (bytes <= uploadBytes) return bytes;
    throw new Refused(
      'photo-too-large',
      `A photo may have up to ${Math.floor(uploadBytes / 1_048_576)} MiB. Send a smaller one.`,
    );
  }
}

function one(request: FastifyRequest, name: string): string | undefined {
  const value = request.headers[name];
  return Array.isArray(value) ? value.join(',') : value;
}

/** The body of a request that carries bytes of an upload. */
function chunkOf(request: FastifyRequest): { readonly body?: Readable } {
  return one(request, 'content-type') === CHUNK ? { body: request.raw } : {};
}

/** A creation may come with any Content-Type; only that of a chunk means anything. */
function withoutForeignType(request: FastifyRequest): FastifyRequest['headers'] {
  const { 'content-type': type, ...rest } = request.headers;
  return type === CHUNK ? request.headers : rest;
}

/** When the upload expires, as RFC 9110 5.6.7 wants it. */
function httpDate({ expiresAt }: UploadRow): string {
  return new Date(expiresAt).toUTCString();
}
