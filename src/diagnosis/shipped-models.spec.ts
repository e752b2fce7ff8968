import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Checklist, Observations } from '../inspections/inspections.contract.js';
import { checkChecklist, itemsOf } from '../inspections/inspections.contract.js';
import { COMPONENTS, ORIGINS } from '../kernel/vocabulary.js';
import type { EvidenceModel, FindingBar } from './diagnosis.contract.js';
import { checkEvidenceModel, findings, likelihood, posterior } from './diagnosis.contract.js';

const FAMILIES = ['bed-base', 'standing-desk', 'lift-chair'] as const;
const BAR: FindingBar = { probability: 0.85, marginDecibans: 6, surprise: 0.005, worthBits: 0.02 };

function read(path: string): unknown {
  return JSON.parse(readFileSync(new URL(path, import.meta.url), 'utf8'));
}

function shipped(id: string): { checklist: Checklist; model: EvidenceModel } {
  const checklist = checkChecklist(read(`../inspections/shipped/${id}.1.json`));
  if (!checklist.ok) throw new Error(JSON.stringify(checklist.faults, null, 1));
  const model = checkEvidenceModel(read(`./shipped/${id}.1.json`), checklist.value);
  if (!model.ok) throw new Error(JSON.stringify(model.faults, null, 1));
  return { checklist: checklist.value, model: model.value };
}

/** What one would expect to see were the explanation true: present where that is at least as likely as not. */
function typical(model: EvidenceModel, explanationId: string): Observations {
  const explanation = model.explanations.find((one) => one.id === explanationId);
  if (explanation === undefined) throw new Error(explanationId);
  const informing = model.observations.filter((one) => explanation.subject in one.otherwise);
  return {
    present: informing.filter((one) => likelihood(one, explanation) >= 0.5).map((one) => one.id),
    absent: informing.filter((one) => likelihood(one, explanation) < 0.5).map((one) => one.id),
  };
}

describe.each(FAMILIES)('the shipped documents for %s', (id) => {
  it('agree with each other and cover the trade', () => {
    const { checklist, model } = shipped(id);
    expect(itemsOf(checklist).length).toBeGreaterThanOrEqual(25);
    expect(model.explanations.length).toBeGreaterThanOrEqual(18);
    expect(model.observations.length).toBeGreaterThanOrEqual(30);
    expect(new Set(model.explanations.map((one) => one.component))).toEqual(new Set(COMPONENTS));
    expect(new Set(model.explanations.map((one) => one.origin))).toEqual(new Set(ORIGINS));
    expect(model.subjects.map((one) => one.id)).toEqual(['carton', 'structure', 'drive', 'contents']);
  });

  it('speak Spanish wherever they speak to the crew', () => {
    const { checklist, model } = shipped(id);
    const untranslated = [
      ...itemsOf(checklist).map((item) => item.ask),
      ...itemsOf(checklist).flatMap((item) => item.help ?? []),
      ...itemsOf(checklist).flatMap((item) => (item.photos ?? []).map((photo) => photo.says)),
      ...checklist.stops.flatMap((stop) => [stop.says, ...stop.do]),
      ...checklist.cautions,
      ...model.observations.map((one) => one.check),
    ].filter((words) => words.es === undefined || words.es === words.en);
    expect(untranslated).toEqual([]);
  });

  it('carry the items that the service reads delivery facts from', () => {
    const items = new Map(itemsOf(shipped(id).checklist).map((item) => [item.id, item.answer]));
    expect(items.get('serial')).toEqual({ type: 'scan', of: 'serial' });
    expect(items.get('carton-faces')).toEqual({ type: 'photo' });
    expect(items.get('contents-count')).toEqual({ type: 'count' });
    expect(items.get('packaging-kept')).toEqual({ type: 'yes-no' });
    expect(items.get('steps-followed')).toEqual({ type: 'yes-no' });
    const choices = (item: string): string[] => {
      const answer = items.get(item);
      return answer?.type === 'choice' ? answer.choices.map((choice) => choice.id) : [];
    };
    expect(choices('impact-indicator')).toEqual(['intact', 'tripped', 'missing', 'not-fitted']);
    expect(choices('tilt-indicator')).toEqual(['intact', 'tripped', 'missing', 'not-fitted']);
    expect(choices('receipt-kind')).toEqual(['clean', 'exceptions-noted', 'refused', 'no-signature']);
  });

  it('never tell anyone to open a motor, a supply or a battery', () => {
    const { checklist } = shipped(id);
    const lines = JSON.stringify(checklist).match(/"en":"[^"]*"/g) ?? [];
    const orders = lines.filter((line) => /\bopen\b[^.]*\b(motor|supply|battery)\b/i.test(line));
    expect(orders.filter((line) => !/never open|do not open|, do not open/i.test(line))).toEqual([]);
  });

  it('rank every explanation first, and well ahead, on what one would typically see of it', () => {
    const { model } = shipped(id);
    const misses = model.explanations.flatMap((one) => {
      const ranked = [...posterior(model, one.subject, typical(model, one.id))].sort((a, b) => b[1] - a[1]);
      const [best, p] = ranked[0] ?? ['', 0];
      return best === one.id && p >= 0.85 ? [] : [`${one.id}: ${best} ${p.toFixed(3)} (next ${String(ranked[1])})`];
    });
    expect(misses).toEqual([]);
  });

  it('open a finding on the typical sight of every fault', () => {
    const { model } = shipped(id);
    const unopened = model.explanations
      .filter((one) => one.origin !== 'none found')
      .filter((one) => !findings(model, typical(model, one.id), BAR).some((f) => f.subject === one.subject))
      .map((one) => one.id);
    expect(unopened).toEqual([]);
  });

  it('send a lone symptom to a person', () => {
    const { model } = shipped(id);
    const lone = findings(model, { present: ['nothing-moves'], absent: [] }, BAR);
    expect(lone.map((one) => one.verdict)).toEqual(['to a person']);
    const components = lone[0]?.components.map((one) => one.component) ?? [];
    expect(components).toEqual(expect.arrayContaining(['motor', 'electronics', 'frame']));
  });
});

it('docs/evidence.md works its example from the shipped numbers', () => {
  const { model } = shipped('bed-base');
  const text = readFileSync(new URL('../../docs/evidence.md', import.meta.url), 'utf8');
  const seen = { present: ['frame-parts-short', 'short-in-sealed-bag'], absent: ['carton-taped-again'] };
  const chances = posterior(model, 'contents', seen);
  const chance = (observation: string, explanation: string): number => {
    const row = model.observations.find((one) => one.id === observation);
    const column = model.explanations.find((one) => one.id === explanation);
    if (row === undefined || column === undefined) throw new Error(`${observation} ${explanation}`);
    return likelihood(row, column);
  };
  const rows = model.explanations
    .filter((one) => one.subject === 'contents')
    .map((one) => {
      const short = chance('frame-parts-short', one.id);
      const sealed = chance('short-in-sealed-bag', one.id);
      const tape = Number((1 - chance('carton-taped-again', one.id)).toFixed(2));
      const product = (one.prior * short * sealed * tape).toFixed(4);
      const share = (100 * (chances.get(one.id) ?? Number.NaN)).toFixed(1);
      return `| \`${one.id}\` | ${one.prior} | ${short} | ${sealed} | ${tape} | ${product} | ${share} % |`;
    });
  expect(text.match(/^\| `.*$/gm)?.toSorted()).toEqual(rows.toSorted());
  const [finding] = findings(model, seen, BAR);
  const weights = finding?.evidence.map((one) => `+${one.decibans.toFixed(1)}`) ?? [];
  const prose = text.replaceAll('\n', ' ');
  expect(prose).toContain(
    `short count weighs ${weights[0]}, the sealed tray ${weights[1]}, the maker's tape ${weights[2]}`,
  );
  expect(prose).toContain(`packing has ${(100 * (finding?.origins[0]?.probability ?? 0)).toFixed(1)} %`);
});
