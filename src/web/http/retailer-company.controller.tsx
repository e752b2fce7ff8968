import { Body, Controller, Get, Param, Post, Query, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { ADDRESS_KINDS, OwnCompanyService } from '../../access/own-company.service.js';
import { Refused } from '../../platform/http/problems.js';
import { demandRetailer } from '../demand-retailer.js';
import { attempt, text, type Form } from '../form-fields.js';
import { goTo, sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { RetailerCompany, type RetailerCompanyView } from '../pages/retailer-company.js';

/** The retailer's own people, and where goods and letters go. */
@ApiExcludeController()
@Controller('claims/company')
export class RetailerCompanyController {
  constructor(private readonly own: OwnCompanyService) {}

  @Get()
  @Needs('own-company.manage')
  async page(@CurrentActor() actor: Actor, @Query() query: Form, @Res() reply: FastifyReply): Promise<void> {
    demandRetailer(actor);
    await this.send(actor, reply, { changed: ADDRESS_KINDS.find((kind) => kind === text(query, 'changed')) });
  }

  @Post(':kind')
  @Needs('own-company.manage')
  async change(
    @CurrentActor() actor: Actor,
    @Param('kind') name: string,
    @Body() form: Form,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    demandRetailer(actor);
    const kind = ADDRESS_KINDS.find((each) => each === name);
    if (kind === undefined) throw new Refused('not-found', 'There are addresses for goods and for letters.');
    const done = await attempt(() => this.own.changeAddress(actor, kind, text(form, 'lines')));
    if (done.ok) goTo(reply, `/claims/company?changed=${kind}#${kind}`);
    else await this.send(actor, reply, { tried: { kind, form: form ?? {}, trouble: done.trouble } });
  }

  private async send(
    actor: Actor,
    reply: FastifyReply,
    more: Pick<RetailerCompanyView, 'changed' | 'tried'>,
  ): Promise<void> {
    const company = await this.own.read(actor);
    const page = <RetailerCompany onlooker={onlookerOf(actor)} company={company} me={actor.id} {...more} />;
    sendPage(reply, page, more.tried?.trouble.status ?? 200);
  }
}
