import { toBuffer } from 'bwip-js/node';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { LabelReading } from '../domain/labels.js';
import { readLabels, type LabelEffort } from './read-labels.js';
import { makeRenditions } from './renditions.js';

// Labels by bwip-js, an independent maker of symbols; the pictures around them are drawn here.
const GS1 = '(01)12345678901231(21)DR7K123456';
const WIDTH = 2400;
const HEIGHT = 1800;

interface Placed {
  readonly kind: string;
  readonly text: string;
  /** Share of the photo's width. */
  readonly share: number;
  readonly degrees?: number;
  readonly blur?: number;
}

async function photoOf({ kind, text, share, degrees = 0, blur }: Placed): Promise<Buffer> {
  const tall = ['gs1-128', 'code128', 'itf14', 'ean13'].includes(kind) ? { height: 12 } : {};
  const symbol = await toBuffer({ bcid: kind, text, scale: 4, padding: 10, backgroundcolor: 'FFFFFF', ...tall });
  const label = await sharp(symbol)
    .resize(Math.round(WIDTH * share))
    .rotate(degrees, { background: '#ffffff' })
    .png()
    .toBuffer();
  const scene = await sharp({ create: { width: WIDTH, height: HEIGHT, channels: 3, background: '#b08a5a' } })
    .composite([{ input: label, left: 180, top: 160 }])
    .png()
    .toBuffer();
  const photo = sharp(scene);
  return (blur === undefined ? photo : photo.blur(blur)).jpeg({ quality: 85 }).toBuffer();
}

async function readAll(encoded: Buffer, effort: LabelEffort): Promise<LabelReading[]> {
  const colours = { hasProfile: false, colourSpace: 'srgb' };
  const made = await makeRenditions({ encoded, failOn: 'error', colours }, [2048, 1024, 256]);
  return readLabels({ small: made.grey, large: made.largest, encoded }, effort);
}

describe('labels on photos', () => {
  const network = globalThis.fetch;
  beforeEach(() => {
    globalThis.fetch = () => Promise.reject(new Error('the reader asked the network'));
  });
  afterEach(() => {
    globalThis.fetch = network;
  });

  it.each([
    [{ kind: 'gs1datamatrix', text: GS1, share: 0.1 }, 'GS1 DataMatrix', GS1],
    [{ kind: 'gs1qrcode', text: GS1, share: 0.15, degrees: 8 }, 'GS1 QR code', GS1],
    [{ kind: 'gs1-128', text: GS1, share: 0.6 }, 'GS1-128', GS1],
    [{ kind: 'gs1-128', text: '(00)006141411234567890', share: 0.5, degrees: 90 }, 'GS1-128', '(00)006141411234567890'],
    [{ kind: 'code128', text: 'DR7K123456', share: 0.4, degrees: -8 }, 'Code 128', 'DR7K123456'],
    [{ kind: 'datamatrix', text: 'DR7K123456', share: 0.08, blur: 1.2 }, 'DataMatrix', 'DR7K123456'],
    [{ kind: 'itf14', text: '12345678901231', share: 0.5 }, 'ITF', '12345678901231'],
    [{ kind: 'ean13', text: '4006381333931', share: 0.4, degrees: 180 }, 'EAN-13', '4006381333931'],
    [
      { kind: 'qrcode', text: 'https://id.gs1.org/01/12345678901231/21/DR7K123456', share: 0.12, degrees: 30 },
      'QR code',
      'https://id.gs1.org/01/12345678901231/21/DR7K123456',
    ],
  ] as const)('%j', async (placed, symbology, text) => {
    const labels = await readAll(await photoOf(placed), 'search');
    expect(labels.map((label) => [label.symbology, label.text])).toEqual([[symbology, text]]);
  });

  it('say where they are, in shares of the photo', async () => {
    const [label] = await readAll(await photoOf({ kind: 'qrcode', text: 'X1', share: 0.2 }), 'search');
    const [left, top] = label?.place[0] ?? [0, 0];
    expect(left).toBeGreaterThan(180 / WIDTH);
    expect(left).toBeLessThan(180 / WIDTH + 0.06);
    expect(top).toBeGreaterThan(160 / HEIGHT);
    expect(top).toBeLessThan(160 / HEIGHT + 0.08);
  });

  it('that are long and low are found at a slant, where they are', async () => {
    const long = '(01)12345678901231(21)DR7K123456';
    const labels = await readAll(await photoOf({ kind: 'gs1-128', text: long, share: 0.6, degrees: 8 }), 'search');
    expect(labels.map(({ text }) => text)).toEqual([long]);
    const across = labels[0]?.place.map(([x]) => x) ?? [];
    const down = labels[0]?.place.map(([, y]) => y) ?? [];
    // The slanted label begins at 7.5 % and is 60 % wide; it falls by 8° over its width.
    expect(Math.min(...across)).toBeGreaterThan(0.07);
    expect(Math.max(...across)).toBeLessThan(0.72);
    expect(Math.max(...down) - Math.min(...down)).toBeGreaterThan(0.08);
    expect(Math.max(...down)).toBeLessThan(0.35);
  }, 20_000);

  it('that are large are found at a glance', async () => {
    const labels = await readAll(await photoOf({ kind: 'gs1datamatrix', text: GS1, share: 0.3 }), 'glance');
    expect(labels[0]?.serial).toBe('DR7K123456');
  });

  it('that are small are found in full size when 2048 pixels show nothing', async () => {
    const small = await photoOf({ kind: 'code128', text: 'DR7K123456', share: 0.15 });
    const large = await sharp({ create: { width: 6000, height: 4500, channels: 3, background: '#b08a5a' } })
      .composite([
        {
          input: await sharp(small).extract({ left: 0, top: 0, width: 900, height: 700 }).toBuffer(),
          left: 900,
          top: 900,
        },
      ])
      .jpeg({ quality: 88 })
      .toBuffer();
    const [label] = await readAll(large, 'search');
    expect(label?.text).toBe('DR7K123456');
    expect(label?.atPx).toBeGreaterThan(2048);
    // Decoding 24 megapixels three times takes a while on a busy machine.
  }, 30_000);

  it('are none where there are none', async () => {
    const plain = await sharp({ create: { width: 600, height: 400, channels: 3, background: '#888888' } })
      .jpeg()
      .toBuffer();
    expect(await readAll(plain, 'search')).toEqual([]);
    expect(await readAll(plain, 'glance')).toEqual([]);
  });
});
