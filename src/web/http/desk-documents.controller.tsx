import { Controller, Get, Param, Res } from '@nestjs/common';
import { ApiExcludeController } from '@nestjs/swagger';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { CurrentActor, Needs } from '../../access/access.decorators.js';
import { Refused } from '../../platform/http/problems.js';
import type { PolicyDocument } from '../../policies/policies.contract.js';
import { PoliciesService } from '../../policies/policies.service.js';
import { sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import { DeskPolicies } from '../pages/desk-documents.js';
import { DeskPolicy } from '../pages/desk-policy.js';

/** Most entries of a list that is shown whole. */
const MOST = 200;

/** Policies, to be read. They are written through the interface. */
@ApiExcludeController()
@Controller('desk')
export class DeskDocumentsController {
  constructor(private readonly policies: PoliciesService) {}

  @Get('policies')
  @Needs('policy.read')
  async list(@CurrentActor() actor: Actor, @Res() reply: FastifyReply): Promise<void> {
    const { items } = await this.policies.list(actor, { limit: MOST });
    sendPage(reply, <DeskPolicies onlooker={onlookerOf(actor)} policies={items} />);
  }

  @Get('policies/:code/:version')
  @Needs('policy.read')
  async policy(
    @CurrentActor() actor: Actor,
    @Param('code') code: string,
    @Param('version') version: string,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    if (!/^[1-9]\d{0,5}$/.test(version)) throw new Refused('not-found', 'There is no such version.');
    const row = await this.policies.read(actor, { code, version: Number(version) });
    // Checked when it was written.
    const policy = row.body as PolicyDocument;
    sendPage(reply, <DeskPolicy onlooker={onlookerOf(actor)} line={row} hash={row.hash} policy={policy} />);
  }
}
