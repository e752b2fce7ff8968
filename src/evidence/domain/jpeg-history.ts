import { histogramRaggedness } from './double-compression.js';
import type { JpegHistory } from './file-doubts.js';
import { lumaHistogram } from './jpeg-luma.js';
import { ijgQuality } from './jpeg-quantisation.js';
import { jpegStructure, type JpegStructure } from './jpeg-structure.js';

/** What the coded data of a JPEG tells about how it came to be. Never throws: what cannot be read is not measured. */
export function jpegHistory(bytes: Uint8Array): JpegHistory {
  const structure = jpegStructure(bytes);
  if (!structure) return { notMeasured: 'not readable', bytesAfterEnd: 0 };
  const luma = structure.quantisation.get(structure.components[0]?.table ?? 0);
  const quality = luma && ijgQuality(luma);
  const found = {
    ...(quality === undefined ? {} : { ijgQuality: quality }),
    bytesAfterEnd: bytesAfterEnd(bytes, structure),
  };
  const histogram = lumaHistogram(bytes, structure);
  if (typeof histogram === 'string') return { ...found, notMeasured: histogram };
  const raggedness = histogramRaggedness(histogram);
  return raggedness === undefined ? { ...found, notMeasured: 'too little texture' } : { ...found, raggedness };
}

/** Inside coded data an 0xff is always followed by zero or a restart marker, so the first end marker behind the scan is the end. */
function bytesAfterEnd(bytes: Uint8Array, { scan }: JpegStructure): number {
  for (let at = bytes.indexOf(0xff, scan.dataAt); at !== -1; at = bytes.indexOf(0xff, at + 1)) {
    if (bytes[at + 1] === 0xd9) return bytes.length - at - 2;
  }
  return 0;
}
