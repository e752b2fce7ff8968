import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import wasm from 'zxing-wasm/reader/zxing_reader.wasm?url';
import type { Reader } from './read-code.js';

// Loaded lazily: four hundred kilobytes that most phones never need. The module is served by us, never by somebody else's network.

const LONGEST_PX = 1280;

/** Fetches and compiles the reader. */
export async function warm(): Promise<void> {
  await prepareZXingModule({ overrides: { locateFile: () => wasm }, fireImmediately: true });
}

/** A reader in WebAssembly for phones without one of their own. */
export async function ownReader(): Promise<Reader> {
  await warm();
  const canvas = document.createElement('canvas');
  return async (frame) => {
    const scale = Math.min(1, LONGEST_PX / Math.max(frame.videoWidth, frame.videoHeight));
    canvas.width = Math.round(frame.videoWidth * scale);
    canvas.height = Math.round(frame.videoHeight * scale);
    const context = canvas.getContext('2d', { willReadFrequently: true });
    if (context === null) return undefined;
    context.drawImage(frame, 0, 0, canvas.width, canvas.height);
    const found = await readBarcodes(context.getImageData(0, 0, canvas.width, canvas.height), {
      formats: ['Code128', 'Code39', 'DataMatrix', 'EAN-13', 'ITF', 'QRCode', 'UPC-A'],
      maxNumberOfSymbols: 1,
    });
    return found.find(({ isValid }) => isValid)?.text;
  };
}
