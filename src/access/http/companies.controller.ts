import { Body, Controller, Get, Post } from '@nestjs/common';
import {
  ApiCreatedResponse,
  ApiOkResponse,
  ApiOperation,
  ApiProperty,
  ApiPropertyOptional,
  ApiTags,
} from '@nestjs/swagger';
import { TextField } from '../../platform/http/fields.js';
import { Creates } from '../../platform/http/idempotency.js';
import { CREATION_PROBLEMS, Problems } from '../../platform/http/problem-docs.js';
import type { Actor } from '../access.contract.js';
import { CurrentActor, Needs } from '../access.decorators.js';
import { CompaniesService } from '../companies.service.js';

export class NewCompanyBody {
  @TextField({
    min: 2,
    max: 40,
    pattern: /^[A-Za-z0-9][A-Za-z0-9-]*$/,
    description: 'By which visits name it.',
    example: 'harrow-lane-home',
  })
  code: string;

  @TextField({ min: 1, max: 200, example: 'Harrow Lane Home' })
  name: string;
}

export class CompanyBody {
  @ApiProperty({ format: 'uuid' })
  id: string;

  @ApiProperty()
  code: string;

  @ApiProperty()
  name: string;

  @ApiPropertyOptional({ description: 'Where a retailer wants goods to go, as it says itself; lines parted by \\n.' })
  goodsAddress?: string;

  @ApiPropertyOptional({ description: 'Where a retailer wants letters to go, as it says itself; lines parted by \\n.' })
  lettersAddress?: string;
}

export class CompaniesBody {
  @ApiProperty({ type: [CompanyBody] })
  items: readonly CompanyBody[];
}

/** The retailers whose goods are delivered. */
@ApiTags('access')
@Controller('v1/retailers')
export class RetailersController {
  constructor(private readonly companies: CompaniesService) {}

  @Get()
  @Needs('visit-link.manage')
  @Problems()
  @ApiOperation({ summary: 'The retailers of the house' })
  @ApiOkResponse({ type: CompaniesBody })
  async list(@CurrentActor() actor: Actor): Promise<CompaniesBody> {
    return { items: await this.companies.list(actor, 'retailer') };
  }

  @Post()
  @Needs('people.manage')
  @Creates()
  @Problems(...CREATION_PROBLEMS, 'company-exists')
  @ApiOperation({ summary: 'Add a retailer' })
  @ApiCreatedResponse({ type: CompanyBody })
  add(@CurrentActor() actor: Actor, @Body() body: NewCompanyBody): Promise<CompanyBody> {
    return this.companies.add(actor, 'retailer', { code: body.code, name: body.name });
  }
}

/** The carriers that bring them. */
@ApiTags('access')
@Controller('v1/carriers')
export class CarriersController {
  constructor(private readonly companies: CompaniesService) {}

  @Get()
  @Needs('visit-link.manage')
  @Problems()
  @ApiOperation({ summary: 'The carriers of the house' })
  @ApiOkResponse({ type: CompaniesBody })
  async list(@CurrentActor() actor: Actor): Promise<CompaniesBody> {
    return { items: await this.companies.list(actor, 'carrier') };
  }

  @Post()
  @Needs('people.manage')
  @Creates()
  @Problems(...CREATION_PROBLEMS, 'company-exists')
  @ApiOperation({ summary: 'Add a carrier' })
  @ApiCreatedResponse({ type: CompanyBody })
  add(@CurrentActor() actor: Actor, @Body() body: NewCompanyBody): Promise<CompanyBody> {
    return this.companies.add(actor, 'carrier', { code: body.code, name: body.name });
  }
}
