import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, describe, expect, it } from 'vitest';
import { aClaimFile } from '../../../tests/support/claim-file.js';
import { assess, readClaimFile, type ClaimFile } from '../../adjudication/adjudication.contract.js';
import type { Model } from '../../catalogue/catalogue.contract.js';
import { checkEvidenceModel } from '../../diagnosis/diagnosis.contract.js';
import { checkChecklist } from '../../inspections/inspections.contract.js';
import { canonicalJson, sha256Hex } from '../../kernel/canonical-json.js';
import type { Outcome } from '../../kernel/outcome.js';
import { holidaysOf } from '../../platform/calendar/holidays.js';
import { projectRoot } from '../../platform/config/project-root.js';
import { shippedDocument } from '../../platform/files/shipped-documents.js';
import { compilePolicy } from '../../policies/policies.contract.js';
import { completenessOf, demandCheck, packetContent, type PacketContent } from '../recovery.contract.js';
import { packetPdf } from './packet-pdf.js';
import { packetPicture, packetPictureOf, type PacketPicture } from './packet-pictures.js';

const folder = mkdtempSync(join(tmpdir(), 'as-noted-packet-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function must<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

const { models } = JSON.parse(readFileSync(join(projectRoot(), 'sample-claims', 'catalogue.json'), 'utf8')) as {
  readonly models: readonly Model[];
};

function contentOf(changes: Partial<ClaimFile> = {}): PacketContent {
  const claim = must(readClaimFile(aClaimFile(changes)));
  const checklist = must(checkChecklist(shippedDocument('checklist', claim.documents.checklist)?.json));
  const evidenceModel = must(
    checkEvidenceModel(shippedDocument('evidence-model', claim.documents.evidenceModel)?.json, checklist),
  );
  const compiled = compilePolicy(shippedDocument('policy', claim.documents.policy)?.json);
  const model = models.find(({ sku }) => sku === claim.unit.sku);
  if (!compiled.ok || !model) throw new Error('the shipped documents are not there');
  const documents = { model, checklist, evidenceModel, policy: compiled.policy, isHoliday: holidaysOf('US') };
  const assessment = must(assess(claim, documents));
  const demand = assessment.recovery.demands.find(({ party }) => party === 'carrier');
  if (!demand) throw new Error('nothing is demanded of the carrier');
  return packetContent({
    reference: '482177305 carrier',
    madeAt: '2026-03-06T12:00:00Z',
    claimant: 'Marlow and Finch',
    partyName: claim.parties.carrier,
    demand,
    claim,
    assessment,
    costLines: assessment.remedy.costLines,
    clocks: assessment.clocks,
    checklist,
    model,
    completeness: completenessOf(demandCheck(claim, demand, {}, undefined)),
    shipmentReference: 'PRO 5512',
    papers: [{ paper: 'bill of lading', reference: 'BOL 771203' }],
    later: [{ at: '2026-03-06T12:00:00Z', says: 'This claim was sent.' }],
  });
}

const content = contentOf();
const red = sharp({ create: { width: 400, height: 300, channels: 3, background: '#b22' } });

async function pictures(): Promise<Map<string, PacketPicture>> {
  const picture = await packetPicture(await red.clone().webp().toBuffer());
  return new Map(content.photos.slice(1).map(({ id }) => [id, picture]));
}

describe('what a packet says', () => {
  it('is what a claim must contain: shipment, assertion of liability and a definite amount (49 CFR 370.3(b))', () => {
    expect(content.shipment).toEqual(
      expect.arrayContaining([
        { label: 'Order', value: 'A-1001' },
        { label: 'Shipment', value: 'PRO 5512' },
        { label: 'Serial number', value: 'KR20260117' },
        { label: 'Delivered', value: '2026-03-04 10:10 -05:00' },
      ]),
    );
    expect(content.assertion[0]).toBe(
      'Marlow and Finch holds Ridgeway Lines liable as carrier for the loss of or damage to the goods of order A-1001, serial number KR20260117.',
    );
    // By hand: the frame spare at 82.00 and its freight of 32.00.
    expect(content.amount.total).toBe('114.00 USD');
    expect(content.amount.lines.reduce((sum, { amountMinor }) => sum + amountMinor, 0)).toBe(content.amount.totalMinor);
  });

  it('puts what happened in order, on the clock of the place', () => {
    const instants = content.timeline.map(({ at }) => Temporal.Instant.from(at).epochMilliseconds);
    expect(instants).toEqual(instants.toSorted((a, b) => a - b));
    expect(content.timeline.at(-1)).toMatchObject({ says: 'This claim was sent.', local: '2026-03-06 07:00 -05:00' });
  });

  it('gives the hashes of the photos on record and of what it rests on', () => {
    expect(content.photos.map(({ sha256 }) => sha256)).toEqual(aClaimFile().photos.map(({ sha256 }) => sha256));
    expect(content.hashes.facts).toBe(sha256Hex(canonicalJson(must(readClaimFile(aClaimFile())))));
  });

  it('says a limit only where one holds, with its law and the figures', () => {
    expect(content.amount.limit).toEqual([]);
    const sdrRate = { rate: '0.1', on: '2026-03-01', source: 'made up' };
    const capped = contentOf({ transport: { regime: 'air', grossGrams: 30_000, sdrRate } });
    // Montreal Convention art. 22(3): 26 SDR × 30 kg = 780.00 SDR, 78.00 at a made-up rate of 0.1.
    expect(capped.amount.total).toBe('78.00 USD');
    expect(capped.amount.limit).toContainEqual({ label: 'In special drawing rights', value: '780.00' });
    expect(capped.amount.limit).toContainEqual({ label: 'Source', value: 'Montreal Convention 1999 art. 22(3)' });
  });
});

describe('the packet as a PDF', () => {
  it('is the same bytes for the same content', async () => {
    const [first, second] = [await packetPdf(content, await pictures()), await packetPdf(content, await pictures())];
    expect(first.equals(second)).toBe(true);
    expect(first.equals(await packetPdf({ ...content, reference: 'other' }, await pictures()))).toBe(false);
  });

  it('is tagged, in English, and says its title', async () => {
    const text = (await packetPdf(content, await pictures())).toString('latin1');
    expect(text).toContain('/MarkInfo');
    expect(text).toMatch(/\/Lang \(en\)/);
    expect(text).toContain('/DisplayDocTitle true');
    expect(text).toContain('/StructTreeRoot');
    expect(text).toContain('/FontFile2');
  });

  const poppler = spawnSync('pdftotext', ['-v']).error === undefined;
  // Skipped where Debian's poppler-utils are not installed: nothing else here reads a PDF back.
  it.skipIf(!poppler)('holds everything as text that can be searched, in every letter', async () => {
    const file = join(folder, 'packet.pdf');
    const named = { ...content, partyName: 'Čeněk Přeprava, Łódź, Ωmega', claimant: 'Möbelhof Lindenau' };
    writeFileSync(file, await packetPdf(named, await pictures()));
    const { stdout } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
    const flat = stdout.replaceAll(/\s+/g, ' ');
    for (const words of [
      '114.00 USD',
      'Čeněk Přeprava, Łódź, Ωmega',
      'Möbelhof Lindenau',
      'PRO 5512',
      'BOL 771203',
      'Not legal advice',
      'Page 1 of',
      content.hashes.facts,
    ]) {
      expect(flat).toContain(words);
    }
    for (const { sha256 } of content.photos) expect(flat).toContain(sha256);
    expect(flat).toContain('Not shown: the picture is not there.');
    const info = spawnSync('pdfinfo', [file], { encoding: 'utf8' }).stdout;
    expect(info).toMatch(/Tagged:\s+yes/);
    expect(info).toMatch(/Title:\s+Claim for loss or damage 482177305 carrier/);
  });

  it('goes on over pages with very many answers and photos', async () => {
    const answers = Array.from({ length: 300 }, (_, n) => ({
      item: `i${n}`,
      ask: `Question ${n} `.repeat(8),
      answer: 'yes '.repeat(40),
    }));
    const many = { ...content, inspection: { ...content.inspection, answers } };
    const pages = (bytes: Buffer): number => bytes.toString('latin1').match(/\/Type \/Page\b/g)?.length ?? 0;
    const [few, lots] = [pages(await packetPdf(content, new Map())), pages(await packetPdf(many, new Map()))];
    expect(few).toBeGreaterThan(2);
    expect(lots).toBeGreaterThan(few + 10);
  });
});

describe('pictures of a packet', () => {
  it('lose their metadata and are upright', async () => {
    const original = await red
      .clone()
      .jpeg()
      .withExif({ IFD0: { Copyright: 'somebody' }, IFD3: { GPSLatitudeRef: 'N' } })
      .withMetadata({ orientation: 6 })
      .toBuffer();
    const picture = await packetPictureOf(original, sha256Hex(original));
    if (!picture.ok) throw new Error(picture.because);
    expect([picture.width, picture.height]).toEqual([300, 400]);
    const { exif, orientation } = await sharp(picture.jpeg).metadata();
    expect([exif, orientation]).toEqual([undefined, undefined]);
  });

  it('are refused where the file is another one or no picture', async () => {
    const original = await red.clone().jpeg().toBuffer();
    expect(await packetPictureOf(original, '0'.repeat(64))).toMatchObject({ ok: false });
    expect(await packetPicture(Buffer.from('no picture'))).toEqual({
      ok: false,
      because: 'the picture cannot be read',
    });
  });
});
