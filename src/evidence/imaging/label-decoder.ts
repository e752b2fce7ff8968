import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { prepareZXingModule, readBarcodes, type ReaderOptions, type ReadResult } from 'zxing-wasm/reader';
import { labelReading, type LabelReading } from '../domain/labels.js';
import type { GreyPicture } from '../domain/sharpness.js';

/** More codes than this are no label shot but a printed page. */
const MOST_LABELS = 16;
/** What stands on cartons and units in the trade. Restricting it saves time and wrong readings. */
const BARS = ['Code128', 'ITF', 'EAN13', 'EAN8', 'UPCA', 'UPCE'] as const;
const SQUARES = ['QRCode', 'DataMatrix'] as const;

let decoder: Promise<unknown> | undefined;

/** The decoder's program from disk; left alone it would fetch it from the network. */
function prepared(): Promise<unknown> {
  decoder ??= (async () => {
    const program = await readFile(fileURLToPath(import.meta.resolve('zxing-wasm/reader/zxing_reader.wasm')));
    await prepareZXingModule({
      overrides: { wasmBinary: Uint8Array.from(program).buffer },
      fireImmediately: true,
    });
  })();
  return decoder;
}

/** Every code found on an upright grey picture, each text once. @param barsOnly leaves the square codes out */
export async function decodeLabels(picture: GreyPicture, barsOnly = false): Promise<LabelReading[]> {
  await prepared();
  const options: ReaderOptions = {
    formats: barsOnly ? [...BARS] : [...BARS, ...SQUARES],
    maxNumberOfSymbols: MOST_LABELS,
    // Labels are printed dark on light.
    tryInvert: false,
  };
  const results = await readBarcodes(asImage(picture), options);
  const labels = results.filter(({ isValid }) => isValid).map((result) => labelReading(rawLabel(result, picture)));
  return labels.filter(({ symbology, text }, at) => {
    return labels.findIndex((other) => other.symbology === symbology && other.text === text) === at;
  });
}

function rawLabel(result: ReadResult, { width, height }: GreyPicture) {
  const { topLeft, topRight, bottomRight, bottomLeft } = result.position;
  const identifier = result.symbologyIdentifier;
  // Element strings and retail codes are wanted byte by byte; texts in whatever letters the symbol announces.
  const content = result.contentType === 'Text' ? result.text : Buffer.from(result.bytes).toString('latin1');
  return {
    format: result.format,
    identifier,
    content,
    place: [topLeft, topRight, bottomRight, bottomLeft].map(({ x, y }) => [share(x, width), share(y, height)] as const),
    atPx: Math.max(width, height),
  };
}

function share(value: number, of: number): number {
  return Math.round(Math.min(1, Math.max(0, value / of)) * 1e4) / 1e4;
}

/** The decoder takes the pixels of a browser's canvas. */
function asImage({ pixels, width, height }: GreyPicture): ImageData {
  const data = new Uint8ClampedArray(pixels.length * 4);
  const words = new Uint32Array(data.buffer);
  for (let at = 0; at < pixels.length; at += 1) words[at] = (pixels[at] ?? 0) * 0x010101 + 0xff000000;
  return { data, width, height, colorSpace: 'srgb' };
}
