import { Injectable } from '@nestjs/common';
import type { FastifyReply } from 'fastify';
import type { Actor } from '../../access/access.contract.js';
import { sendPage } from '../html.js';
import { onlookerOf } from '../onlookers.js';
import type { CaseView } from '../pages/case-view.js';
import { DeskCase } from '../pages/desk-case.js';
import { DeskCases } from './desk-cases.js';

/** Shows the page of a case. */
@Injectable()
export class DeskCasePages {
  constructor(private readonly cases: DeskCases) {}

  /** @param tried an act that was refused, with what the person typed */
  async show(actor: Actor, id: string, reply: FastifyReply, tried?: CaseView['tried']): Promise<void> {
    const view: CaseView = { onlooker: onlookerOf(actor), ...(await this.cases.read(actor, id)), tried };
    sendPage(reply, <DeskCase view={view} />, tried?.trouble.status ?? 200);
  }
}
