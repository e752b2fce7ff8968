import type { INestApplicationContext } from '@nestjs/common';
import type { Actor } from '../../access/access.contract.js';
import type { Assessment } from '../../adjudication/adjudication.contract.js';
import { ClaimDecisionsService } from '../../claims/claim-decisions.service.js';
import { ClaimReviewService } from '../../claims/claim-review.service.js';
import { ClaimSettlementService } from '../../claims/claim-settlement.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import type { DecisionWish } from '../../claims/domain/decide-claim.js';
import type { ClaimState } from '../../kernel/vocabulary.js';
import type { StandingClock } from '../../platform/clock.js';
import { VersionMatch } from '../../platform/http/versions.js';
import { sampleId, type SampleStage, type SampleVisit, type Scenario } from './scenario.js';

/** Which acts lead to a stage, in order. */
const ACTS = {
  'needs information': ['ask'],
  'awaiting second person': ['decide'],
  decided: ['decide'],
  settling: ['decide', 'order'],
  settled: ['decide', 'order', 'settle'],
  closed: ['decide', 'order', 'settle', 'close'],
  withdrawn: ['withdraw'],
} as const satisfies Readonly<Record<SampleStage, readonly string[]>>;

/** States in which an act is still to be done; in any other state an earlier, interrupted load has done it. */
const DUE: Readonly<Record<(typeof ACTS)[SampleStage][number], readonly ClaimState[]>> = {
  ask: ['proposed'],
  decide: ['proposed'],
  order: ['decided'],
  settle: ['settling'],
  close: ['settled', 'decided'],
  withdraw: ['proposed'],
};

interface Ahead {
  readonly scenario: Scenario;
  readonly visit: SampleVisit;
  readonly claimId: string;
  readonly stage: SampleStage;
}

/** Takes a proposed sample claim further, as an analyst would have done in the days after. */
export async function bringForward(
  app: INestApplicationContext,
  clock: StandingClock,
  { scenario, visit, claimId, stage }: Ahead,
): Promise<void> {
  const analyst = scenario.people.find((person) => person.tenant === visit.tenant && person.roles.includes('analyst'));
  if (analyst === undefined) throw new Error(`tenant ${visit.tenant} has no analyst`);
  const actor: Actor = {
    kind: 'person',
    tenant: sampleId('tenant', visit.tenant),
    id: sampleId('person', analyst.email),
    name: analyst.name,
    roles: analyst.roles,
  };
  for (const act of ACTS[stage]) {
    clock.advance({ hours: 5 });
    await doAct(app, act, actor, claimId);
    if (act === 'decide' && stage !== 'awaiting second person') await confirmWhereNeeded(app, scenario, actor, claimId);
  }
}

/** Large decisions wait for a second analyst; the sample house has one. */
async function confirmWhereNeeded(
  app: INestApplicationContext,
  scenario: Scenario,
  first: Actor,
  id: string,
): Promise<void> {
  const { decisions } = await app.get(ClaimReviewService, { strict: false }).dossier(first, id);
  const waiting = decisions.find(({ state }) => state === 'awaiting second person');
  const second = scenario.people.find(
    (person) =>
      sampleId('tenant', person.tenant) === first.tenant &&
      person.roles.includes('analyst') &&
      sampleId('person', person.email) !== first.id,
  );
  if (waiting === undefined || second === undefined) return;
  const actor: Actor = { ...first, id: sampleId('person', second.email), name: second.name };
  const { version } = await app.get(ClaimsService, { strict: false }).get(actor, id);
  await app
    .get(ClaimDecisionsService, { strict: false })
    .confirm(actor, id, waiting.n, VersionMatch.read(`"v${version}"`));
}

async function doAct(
  app: INestApplicationContext,
  act: (typeof ACTS)[SampleStage][number],
  actor: Actor,
  id: string,
): Promise<void> {
  const claims = app.get(ClaimsService, { strict: false });
  const review = app.get(ClaimReviewService, { strict: false });
  const settlement = app.get(ClaimSettlementService, { strict: false });
  const row = await claims.get(actor, id);
  const match = VersionMatch.read(`"v${row.version}"`);
  const dossier = await review.dossier(actor, id);
  const waits = dossier.decisions.some(({ state }) => state === 'awaiting second person');
  if (waits || !DUE[act].includes(row.state)) return;
  const standing = dossier.decisions.find(({ state }) => state === 'standing');
  switch (act) {
    case 'ask':
      await review.ask(
        actor,
        id,
        { asked: 'Please send a photo of the packing list and of the inside of the carton.', of: 'retailer' },
        match,
      );
      return;
    case 'decide':
      await app
        .get(ClaimDecisionsService, { strict: false })
        .decide(actor, id, wishFor(dossier.assessment?.assessment), match);
      return;
    case 'order':
      if (standing?.outcome === 'declined') return;
      await settlement.orderSettlement(actor, id, null, match);
      return;
    case 'settle':
      if (standing?.outcome === 'declined') return;
      await settlement.settle(
        actor,
        id,
        { amountMinor: standing?.totalMinor ?? 0, currency: row.currency, reference: `PAY-${row.number ?? ''}` },
        match,
      );
      return;
    case 'close':
      await settlement.close(actor, id, null, match);
      return;
    case 'withdraw':
      await claims.withdraw(actor, id, 'The customer found the missing parts behind the carton.', match);
  }
}

/** Follows the proposal; where it proposes nothing at all, the claim is declined. */
function wishFor(assessment: object | undefined): Omit<DecisionWish, 'by'> {
  const { remedy } = (assessment ?? {}) as Partial<Assessment>;
  const nothing =
    remedy === undefined ||
    (remedy.customerTotalMinor === 0 && remedy.chosen.every((chosen) => chosen.remedy === 'none'));
  const words = 'Photos and answers agree with the proposal; read again and decided with it.';
  return { outcome: nothing ? 'declined' : 'approved', reason: 'evidence read otherwise', words };
}
