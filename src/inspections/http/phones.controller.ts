import { Body, Controller, Get, HttpCode, Post, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { IdParam } from '../../platform/http/id.pipe.js';
import { plainBody } from '../../platform/http/plain-body.js';
import { Problems } from '../../platform/http/problem-docs.js';
import { PhoneFactsService, type PhoneBatch } from '../phone-facts.service.js';
import { PhonesService } from '../phones.service.js';
import { PhoneBatchBody, PhoneBatchView, PhoneFactReceiptView } from './phone-fact.dto.js';
import { owingPhoneView, phonesView } from './phone.mapper.js';
import { OwingPhoneList, PhonesOfVisitView, PhonesQuery } from './phone.dto.js';

/** What crews' phones bring, and what they still owe. */
@ApiTags('phones')
@Controller('v1')
export class PhonesController {
  constructor(
    private readonly facts: PhoneFactsService,
    private readonly phones: PhonesService,
  ) {}

  @Post('visits/:visitId/facts')
  @Needs('inspection.fill')
  @HttpCode(200)
  @ApiOperation({ summary: 'Bring facts from a phone; the same ones again change nothing and get the same receipts' })
  @ApiOkResponse({ type: PhoneBatchView })
  @Problems('not-found')
  receive(
    @CurrentActor() actor: Actor,
    @IdParam('visitId') visitId: string,
    @Body() body: PhoneBatchBody,
  ): Promise<PhoneBatchView> {
    return this.facts.receive(actor, visitId, plainBody<PhoneBatch>(body));
  }

  @Get('visits/:visitId/facts/:factId')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'Ask for the receipt of a fact again' })
  @ApiOkResponse({ type: PhoneFactReceiptView })
  @Problems('not-found')
  receipt(
    @CurrentActor() actor: Actor,
    @IdParam('visitId') visitId: string,
    @IdParam('factId') factId: string,
  ): Promise<PhoneFactReceiptView> {
    return this.facts.receipt(actor, visitId, factId);
  }

  @Get('visits/:visitId/phones')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'The phones of a visit, what each still owes, and where two do not agree' })
  @ApiOkResponse({ type: PhonesOfVisitView })
  @Problems('not-found')
  async ofVisit(@CurrentActor() actor: Actor, @IdParam('visitId') visitId: string): Promise<PhonesOfVisitView> {
    return phonesView(await this.phones.ofVisit(actor, visitId));
  }

  @Get('phones')
  @Needs('inspection.read')
  @ApiOperation({ summary: 'The phones that still owe something, the one that has been silent longest first' })
  @ApiOkResponse({ type: OwingPhoneList })
  async owing(@CurrentActor() actor: Actor, @Query() query: PhonesQuery): Promise<OwingPhoneList> {
    const items = await this.phones.owing(actor, query.state === 'lost');
    return { items: items.map(owingPhoneView) };
  }
}
