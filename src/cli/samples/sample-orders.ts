import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { CLAIM_LIMITS, readClaimFile } from '../../adjudication/adjudication.contract.js';
import { policyNumbers } from '../../adjudication/domain/assessment-faults.js';
import { compareOrders, type OrderComparison, type OrderRun } from '../../diagnosis/learning.contract.js';
import { observationsFrom } from '../../inspections/inspections.contract.js';
import { localDate } from '../../kernel/days.js';
import { projectRoot } from '../../platform/config/project-root.js';
import { claimDocuments } from '../claim-documents.js';
import { BadInput, readJson } from '../json-input.js';
import type { Io } from '../verb.js';

/** One sample claim gone through both ways. */
export interface SampleOrder extends OrderComparison {
  readonly sample: string;
}

/** What both ways need in all. */
export interface OrderTotals {
  readonly claims: number;
  readonly chosen: WayTotal;
  readonly listed: WayTotal;
}

interface WayTotal {
  readonly checks: number;
  readonly seconds: number;
  /** Claims whose every finding is settled at the end. */
  readonly settled: number;
  /** Claims whose findings lead to the same explanations as with everything that the inspection holds. */
  readonly sameAsAll: number;
}

/** Names of the sample claims that there are. */
export function sampleNames(): string[] {
  const folder = join(projectRoot(), 'sample-claims');
  return readdirSync(folder)
    .filter((name) => existsSync(join(folder, name, 'claim.json')))
    .sort();
}

/**
 * Goes through sample claims in the chosen order and in the order of their checklists, each under the bar of its own policy. Claims
 * whose inspection opens no finding are left out.
 * @throws BadInput when a sample is missing or faulty
 */
export async function sampleOrders(names: readonly string[], io: Io): Promise<SampleOrder[]> {
  const orders: SampleOrder[] = [];
  for (const sample of names) {
    const order = await orderOf(sample, io);
    if (order !== undefined) orders.push({ sample, ...order });
  }
  return orders;
}

async function orderOf(sample: string, io: Io): Promise<OrderComparison | undefined> {
  const file = join(projectRoot(), 'sample-claims', sample, 'claim.json');
  const read = readClaimFile(await readJson(file, CLAIM_LIMITS.bytes, io));
  if (!read.ok) throw new BadInput(file, read.faults);
  const claim = read.value;
  const { model, checklist, evidenceModel, policy } = await claimDocuments(claim, {}, io);
  const packingList = model.parts.map(({ number, component, pieces }) => ({ part: number, component, pieces }));
  const unit = { serial: claim.unit.serial, packingList };
  const governedAt = claim.events.delivered ?? claim.inspection.startedAt;
  const { numbers, faults } = policyNumbers(policy, localDate(governedAt, claim.zone).toString());
  if (faults.length > 0) throw new BadInput(file, faults);
  const observations = observationsFrom(checklist, claim.inspection.answers, unit);
  return compareOrders(evidenceModel, checklist, observations, numbers.bar);
}

/** Adds up what both ways need. */
export function orderTotals(orders: readonly SampleOrder[]): OrderTotals {
  const total = (way: 'chosen' | 'listed'): WayTotal => ({
    checks: orders.reduce((sum, one) => sum + one[way].checks, 0),
    seconds: orders.reduce((sum, one) => sum + one[way].seconds, 0),
    settled: orders.filter((one) => one[way].settled).length,
    sameAsAll: orders.filter((one) => leadsAlike(one[way], one.leadingOnAll)).length,
  });
  return { claims: orders.length, chosen: total('chosen'), listed: total('listed') };
}

function leadsAlike({ leading }: OrderRun, all: Readonly<Record<string, string>>): boolean {
  return Object.entries(all).every(([subject, explanation]) => leading[subject] === explanation);
}

/** The table of docs/evidence.md, in Markdown. */
export function orderTable(orders: readonly SampleOrder[]): string {
  const rows = orders.map(({ sample, chosen, listed }) => `| ${sample} | ${cells(chosen)} | ${cells(listed)} |`);
  const { claims, chosen, listed } = orderTotals(orders);
  const sums = [chosen, listed].map((way) => `**${way.checks}** | **${way.seconds}** | ${way.settled} of ${claims}`);
  return [
    '| sample claim | checks, chosen | seconds | settled | checks, as listed | seconds | settled |',
    '| --- | --- | --- | --- | --- | --- | --- |',
    ...rows,
    `| **all** | ${sums.join(' | ')} |`,
  ].join('\n');
}

function cells({ checks, seconds, settled }: OrderRun): string {
  return `${checks} | ${seconds} | ${settled ? 'yes' : 'no'}`;
}
