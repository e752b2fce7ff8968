import { money, moneyDecimal } from '../../kernel/money.js';
import { paperFonts } from '../../platform/pdf/paper-fonts.js';
import { Paper } from '../../platform/pdf/paper.js';
import type { PacketContent } from '../domain/packet-content.js';
import type { PacketPicture } from './packet-pictures.js';

/**
 * The packet as one PDF: tagged, with language and title, fonts embedded, text that can be searched. The same content and pictures
 * give the same bytes.
 * @param pictures by id of the photo
 */
export function packetPdf(content: PacketContent, pictures: ReadonlyMap<string, PacketPicture>): Promise<Buffer> {
  const page = new Paper({
    title: content.title,
    author: content.claimant,
    made: new Date(Temporal.Instant.from(content.madeAt).epochMilliseconds),
    foot: `${content.reference} · ${content.claimant}`,
    fonts: paperFonts(),
  });
  cover(page, content);
  amounts(page, content);
  goods(page, content);
  evidence(page, content, pictures);
  closing(page, content);
  return page.finish();
}

function cover(page: Paper, content: PacketContent): void {
  page.title('Claim for loss or damage');
  page.facts([
    { label: 'Number', value: content.reference },
    { label: 'To', value: `${content.partyName} (${content.party})` },
    { label: 'From', value: content.claimant },
    { label: 'Made', value: content.made },
  ]);
  page.figure('Amount demanded', content.amount.total);
  page.heading('What is claimed');
  for (const sentence of content.assertion) page.paragraph(sentence);
  page.heading('The shipment');
  page.facts(content.shipment);
  page.notice(content.caution);
}

function amounts(page: Paper, content: PacketContent): void {
  const figure = (minor: number): string => moneyDecimal(money(minor, content.currency));
  page.heading('How the amount was worked out');
  page.table(
    ['Item', 'Working', content.currency],
    [
      ...content.amount.lines.map(({ says, working, amountMinor }) => [says, working, figure(amountMinor)]),
      ['Total demanded', '', figure(content.amount.totalMinor)],
    ],
    { widths: [0.3, 0.52, 0.18], right: [2], boldLast: true },
  );
  page.facts(content.amount.limit);
  page.heading('What it cost to put the matter right');
  const total = content.amount.costLines.reduce((sum, { amountMinor }) => sum + amountMinor, 0);
  page.table(
    ['Item', 'Working', content.currency],
    [
      ...content.amount.costLines.map(({ says, working, amountMinor }) => [says, working, figure(amountMinor)]),
      ['Total cost', '', figure(total)],
    ],
    { widths: [0.3, 0.52, 0.18], right: [2], boldLast: true },
  );
}

function goods(page: Paper, content: PacketContent): void {
  page.heading('Receipt and condition on delivery');
  page.facts(content.receipt);
  if (content.custody.length > 0) {
    page.heading('In whose hands the goods were');
    page.table(
      ['Stage', 'Party', 'Condition', 'When'],
      content.custody.map(({ stage, party, condition, at }) => [stage, party, condition, at]),
      { widths: [0.22, 0.2, 0.24, 0.34] },
    );
  }
  page.heading('Timeline');
  page.table(
    ['When, at the place', 'What happened'],
    content.timeline.map(({ local, says }) => [local, says]),
    { widths: [0.32, 0.68] },
  );
}

function evidence(page: Paper, content: PacketContent, pictures: ReadonlyMap<string, PacketPicture>): void {
  if (content.findings.length > 0) {
    page.heading('What was found');
    page.facts(content.findings);
  }
  page.heading('Inspection');
  page.paragraph(content.inspection.says);
  if (content.inspection.answers.length > 0) {
    page.table(
      ['Asked', 'Answered'],
      content.inspection.answers.map(({ ask, answer }) => [ask, answer]),
      { widths: [0.55, 0.45] },
    );
  }
  page.heading('Photos');
  page.paragraph(
    content.photos.length === 0
      ? 'There are no photos.'
      : 'Upright copies without their metadata. The originals are kept unaltered under the SHA-256 below each copy and can be asked for.',
  );
  if ([...pictures.values()].some((picture) => picture.ok && picture.marks !== undefined)) {
    page.paragraph(
      'Red outlines were drawn into the copies by people who looked at the photos. They are not in the originals.',
    );
  }
  page.photos(
    content.photos.map(({ id, says, sha256 }) => ({
      says,
      sha256,
      picture: pictures.get(id) ?? { ok: false, because: 'the picture is not there' },
    })),
  );
}

function closing(page: Paper, content: PacketContent): void {
  const { completeness, hashes } = content;
  page.heading('Completeness');
  page.paragraph(`Checked before sending: ${completeness.standing}.`);
  page.table(
    ['Element', 'State', 'Source'],
    [...completeness.elements, ...completeness.papers].map(({ says, state, source }) => [says, state, source]),
    { widths: [0.5, 0.14, 0.36] },
  );
  if (content.papers.length > 0) {
    page.heading('Papers');
    page.facts(content.papers);
  }
  if (content.clocks.length > 0) {
    page.heading('Time limits');
    page.table(
      ['Limit', 'State', 'Last day', 'Ground and source'],
      content.clocks.map(({ title, state, lastDay, ground, source }) => [
        title,
        state,
        lastDay,
        `${ground}. ${source}`,
      ]),
      { widths: [0.3, 0.12, 0.16, 0.42] },
    );
  }
  page.heading('What this rests on');
  page.paragraph('SHA-256 over the canonical JSON (RFC 8785) of each document.');
  page.facts(
    [
      { label: 'Facts', value: hashes.facts },
      { label: 'Assessment', value: hashes.assessment },
      { label: 'Policy', value: hashes.policy },
      { label: 'Checklist', value: hashes.checklist },
      { label: 'Evidence model', value: hashes.evidenceModel },
    ],
    7.5,
  );
  page.notice(content.caution);
}
