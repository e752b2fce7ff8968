import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import type { INestApplicationContext } from '@nestjs/common';
import { serviceActor, type Actor } from '../../access/access.contract.js';
import type { ClaimFile } from '../../adjudication/adjudication.contract.js';
import { ClaimAssessmentService } from '../../claims/claim-assessment.service.js';
import { ClaimsService } from '../../claims/claims.service.js';
import { PhotoIntakeService } from '../../evidence/photo-intake.service.js';
import { InspectionWalkService } from '../../inspections/inspection-walk.service.js';
import { VisitsService } from '../../inspections/visits.service.js';
import type { StandingClock } from '../../platform/clock.js';
import { Database } from '../../platform/db/database.js';
import { VersionMatch } from '../../platform/http/versions.js';
import { bringForward } from './bring-forward.js';
import {
  readSampleClaim,
  sampleId,
  samplePhoto,
  type SampleAddress,
  type SampleVisit,
  type Scenario,
} from './scenario.js';

/** One sample visit with everything that happened on it, as the people involved would have done it. */
export async function loadVisit(
  app: INestApplicationContext,
  clock: StandingClock,
  scenario: Scenario,
  visit: SampleVisit,
): Promise<void> {
  const claim = visit.claim === null ? undefined : readSampleClaim(visit.claim);
  const tenant = sampleId('tenant', visit.tenant);
  const id = sampleId('visit', visit.code);
  const address = scenario.addresses.find((each) => each.id === visit.address);
  const crew = scenario.crews.find((each) => each.code === visit.crew);
  if (address === undefined || crew === undefined)
    throw new Error(`visit ${visit.code} names an unknown address or crew`);
  if (claim === undefined) clock.moveTo(Temporal.Now.instant());
  else clock.moveTo(Temporal.Instant.from(visit.window.from).subtract({ hours: 24 }));
  await plan(app, { tenant, id, visit, address, claim, crewSize: Math.max(2, crew.members.length) });
  if (claim === undefined || visit.claim === null) return;
  const link: Actor = {
    kind: 'link',
    tenant,
    id: sampleId('link', visit.code),
    name: crew.members.join(' and '),
    roles: ['crew'],
    visit: id,
  };
  const inspection =
    claim.inspection.answers.length > 0 || claim.photos.length > 0 ? sampleId('inspection', visit.claim) : null;
  if (inspection !== null) await inspect(app, clock, { link, claim, slug: visit.claim, inspection });
  await receive(app, clock, { link, claim, visitId: id });
  const claimId = await file(app, clock, { link, claim, slug: visit.claim, inspection });
  await app.get(ClaimAssessmentService, { strict: false }).assess(tenant, claimId);
  const stage = scenario.stages?.[visit.claim];
  if (stage !== undefined) await bringForward(app, clock, { scenario, visit, claimId, stage });
}

interface Planned {
  readonly tenant: string;
  readonly id: string;
  readonly visit: SampleVisit;
  readonly address: SampleAddress;
  readonly claim: ClaimFile | undefined;
  readonly crewSize: number;
}

async function plan(
  app: INestApplicationContext,
  { tenant, id, visit, address, claim, crewSize }: Planned,
): Promise<void> {
  const db = app.get(Database, { strict: false });
  const known = await db.inTenant({ tenant }, (tx) => tx.query<unknown[]>('select 1 from visit where id = $1', [id]));
  if (known.length > 0) return;
  const model = claim?.order ?? (await priceOf(db, tenant, visit));
  const { lines, place, postcode, country, latitude, longitude, zone } = address;
  // A visit that is still to come is planned for the day of loading, so that the crew's link opens something to do.
  const now = Temporal.Now.instant();
  const window =
    claim === undefined
      ? { from: now.subtract({ minutes: 30 }).toString(), to: now.add({ hours: 4 }).toString() }
      : visit.window;
  await app.get(VisitsService, { strict: false }).plan(
    serviceActor(tenant, 'samples load'),
    {
      retailer: visit.retailer,
      carrier: visit.carrier,
      order: {
        reference: visit.retailerReference,
        placedOn: claim?.order.placedOn ?? now.toZonedDateTimeISO(zone).toPlainDate().subtract({ days: 12 }).toString(),
        currency: model.currency,
        priceMinor: model.priceMinor,
        taxMinor: model.taxMinor,
        deliveryMinor: model.deliveryMinor,
      },
      address: { lines, place, postcode, country: country.slice(0, 2), latitude, longitude },
      jurisdiction: claim?.jurisdiction ?? country,
      zone,
      windowFrom: Temporal.Instant.from(window.from).toString(),
      windowTo: Temporal.Instant.from(window.to).toString(),
      crewSize: claim?.inspection.crewSize ?? crewSize,
      custody: claim?.delivery.custody ?? [],
      units: visit.units,
    },
    id,
  );
}

/** A plausible order line for a visit that no worked claim describes: the unit's cost with a margin, no tax shown. */
async function priceOf(
  db: Database,
  tenant: string,
  visit: SampleVisit,
): Promise<{ currency: string; priceMinor: number; taxMinor: number; deliveryMinor: number }> {
  const [unit] = visit.units;
  const rows = await db.inTenant({ tenant }, (tx) =>
    tx.query<{ currency: string; cost: string }[]>(
      'select currency, unit_cost_minor as cost from model where sku = $1',
      [unit?.sku ?? ''],
    ),
  );
  const [row] = rows;
  if (row === undefined) throw new Error(`visit ${visit.code} brings a model that the catalogue does not have`);
  return {
    currency: row.currency,
    priceMinor: Math.round((Number(row.cost) * 8) / 500) * 100,
    taxMinor: 0,
    deliveryMinor: 9900,
  };
}

interface Worked {
  readonly link: Actor;
  readonly claim: ClaimFile;
  readonly slug: string;
  readonly inspection: string | null;
}

async function inspect(
  app: INestApplicationContext,
  clock: StandingClock,
  { link, claim, slug, inspection }: Worked,
): Promise<void> {
  if (inspection === null || link.visit === undefined) return;
  const walk = app.get(InspectionWalkService, { strict: false });
  const started = Temporal.Instant.from(claim.inspection.startedAt);
  const answers = claim.inspection.answers.map((answer, index) => ({
    ...answer,
    value: photoIds(answer.value, claim, slug),
    answeredAt: started.add({ seconds: 20 * (index + 1) }).toString({ smallestUnit: 'millisecond' }),
  }));
  clock.moveTo(started.add({ seconds: 20 * (answers.length + 1) }));
  const begun = await walk.start(link, link.visit, {
    id: inspection,
    serial: claim.unit.serial,
    startedAt: started.toString({ smallestUnit: 'millisecond' }),
    crewSize: claim.inspection.crewSize,
    foundAt: claim.delivery.foundAt,
  });
  if (begun.answers.length > 0) return;
  const state = answers.length > 0 ? await walk.answer(link, inspection, answers) : begun;
  for (const { stop } of state.stops) await walk.acknowledge(link, inspection, stop);
  const intake = app.get(PhotoIntakeService, { strict: false });
  for (const photo of claim.photos) {
    const path = samplePhoto(slug, photo.file);
    if (path === undefined) continue;
    const arriving = {
      id: sampleId('photo', `${slug} ${photo.id}`),
      inspectionId: inspection,
      item: photo.item,
      shows: photo.shows,
      sha256: photo.sha256,
      fileName: basename(photo.file),
    };
    await intake.keep(link, arriving, createReadStream(path));
  }
  const { version } = (await walk.read(link, inspection)).row;
  await walk.complete(link, inspection, VersionMatch.read(`"v${version}"`), {
    acceptGaps: true,
    reason: 'The rest could not be checked on this visit.',
  });
}

/** Photos are named shortly in claim files; the service knows them by UUID. */
function photoIds(
  value: ClaimFile['inspection']['answers'][number]['value'],
  claim: ClaimFile,
  slug: string,
): typeof value {
  const names = new Set(claim.photos.map(({ id }) => id));
  if (!Array.isArray(value)) return value;
  return value.map((entry) => (names.has(String(entry)) ? sampleId('photo', `${slug} ${entry}`) : String(entry)));
}

async function receive(
  app: INestApplicationContext,
  clock: StandingClock,
  { link, claim, visitId }: { link: Actor; claim: ClaimFile; visitId: string },
): Promise<void> {
  const delivered = claim.events.delivered;
  if (delivered === undefined) return;
  const visits = app.get(VisitsService, { strict: false });
  const visit = await visits.read(link, visitId);
  if (visit.receipt !== null) return;
  const at = Temporal.Instant.from(delivered);
  if (Temporal.Instant.compare(clock.now(), at) < 0) clock.moveTo(at);
  await visits.receive(link, visitId, VersionMatch.read(`"v${visit.version}"`), {
    kind: claim.delivery.receipt,
    ...(claim.delivery.receiptWords === undefined ? {} : { words: claim.delivery.receiptWords }),
    deliveredAt: at.toString({ smallestUnit: 'millisecond' }),
  });
}

async function file(
  app: INestApplicationContext,
  clock: StandingClock,
  { link, claim, slug, inspection }: Worked,
): Promise<string> {
  const id = sampleId('claim', slug);
  clock.moveTo(Temporal.Instant.from(claim.events.filed ?? claim.asOf));
  const instant = (text: string): string => Temporal.Instant.from(text).toString({ smallestUnit: 'millisecond' });
  const told = claim.events['notice to carrier'];
  await app.get(ClaimsService, { strict: false }).open(link, {
    id,
    visitId: link.visit ?? '',
    serial: claim.unit.serial,
    inspectionId: inspection,
    ground: claim.ground,
    returnReason: claim.returnReason ?? null,
    wish: claim.wish ?? null,
    words: claim.title,
    failedRepairs: claim.failedRepairs,
    noticedAt: instant(claim.events.noticed ?? claim.asOf),
    noticeToCarrierAt: told === undefined ? null : instant(told),
    file: true,
  });
  return id;
}
