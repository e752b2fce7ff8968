import { Body, Controller, Delete, Get, HttpCode, Post } from '@nestjs/common';
import { ApiCreatedResponse, ApiNoContentResponse, ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { IdParam } from '../../platform/http/id.pipe.js';
import { Creates } from '../../platform/http/idempotency.js';
import type { Actor } from '../access.contract.js';
import { CurrentActor, Needs } from '../access.decorators.js';
import { ApiKeysService } from '../api-keys.service.js';
import { KeyBody, KeyListBody, NewKeyBody } from './access.dto.js';
import { toKeyBody } from './access.mapper.js';

/** Keys for other programs, for the tenant's administrators. */
@ApiTags('access')
@Needs('key.manage')
@Controller('v1/api-keys')
export class ApiKeysController {
  constructor(private readonly keys: ApiKeysService) {}

  @Get()
  @ApiOperation({ summary: 'List the keys' })
  @ApiOkResponse({ type: KeyListBody })
  async list(@CurrentActor() actor: Actor): Promise<KeyListBody> {
    return { items: (await this.keys.list(actor)).map(toKeyBody) };
  }

  @Post()
  @Creates({ shownOnce: ['secret'] })
  @ApiOperation({ summary: 'Make a key; its secret is shown once' })
  @ApiCreatedResponse({ type: KeyBody })
  async create(@CurrentActor() actor: Actor, @Body() body: NewKeyBody): Promise<KeyBody> {
    const { row, secret } = await this.keys.create(actor, {
      name: body.name,
      scopes: body.scopes,
      retailer: body.retailer,
      expiresAt: body.expiresAt === undefined ? undefined : Temporal.Instant.from(body.expiresAt),
    });
    return Object.assign(toKeyBody(row), { secret });
  }

  @Delete(':id')
  @HttpCode(204)
  @ApiOperation({ summary: 'End a key' })
  @ApiNoContentResponse()
  async end(@CurrentActor() actor: Actor, @IdParam('id') id: string): Promise<void> {
    await this.keys.end(actor, id);
  }
}
