// How often codes on drawn labels are read: labels by bwip-js, an independent maker of symbols, laid into photos of 12 megapixels, small,
// turned and blurred, and read as photos of labels are. Prints a table and, last, one line of JSON.
//   node tests/bench/photos-labels.mjs [PHOTO…]     (default: two sample photos; build first)
import path from 'node:path';
import { toBuffer } from 'bwip-js/node';
import sharp from 'sharp';
import { readLabels } from '../../dist/src/evidence/imaging/read-labels.js';
import { makeRenditions } from '../../dist/src/evidence/imaging/renditions.js';

const WIDTH = 4032;
const HEIGHT = 3024;
const GS1 = '(01)12345678901231(21)DR7K123456';
const LINK = 'https://id.gs1.org/01/12345678901231/21/DR7K123456';
const BARS = [0.6, 0.4, 0.25, 0.15];
const SQUARES = [0.2, 0.1, 0.06, 0.04];
const KINDS = [
  ['gs1-128', GS1, BARS],
  ['code128', 'DR7K123456', BARS],
  ['itf14', '12345678901231', BARS],
  ['ean13', '4006381333931', BARS],
  ['gs1datamatrix', GS1, SQUARES],
  ['gs1qrcode', GS1, SQUARES],
  ['datamatrix', 'DR7K123456', SQUARES],
  ['qrcode', LINK, SQUARES],
];
/** Degrees clockwise, and the deviation of the blur in pixels of the photo. */
const WAYS = [
  ['upright', 0, 0],
  ['turned by 8°', 8, 0],
  ['turned by −8° and blurred', -8, 1.2],
  ['turned by 90°', 90, 0],
];

const samples = path.join(import.meta.dirname, '..', '..', 'sample-claims');
const photos =
  process.argv.length > 2
    ? process.argv.slice(2)
    : ['bed-rail-bent-noted/photos/08-rail-close.jpg', 'desk-thread-stripped/photos/01-desk-wide.jpg'].map((name) =>
        path.join(samples, name),
      );

const counts = {};
for (const [kind, text, shares] of KINDS) {
  for (const share of shares) {
    for (const [way, degrees, blur] of WAYS) {
      for (const photo of photos) {
        const outcome = await read(await labelled(photo, { kind, text, share, degrees, blur }), text);
        const row = ((counts[kind] ??= {})[way] ??= { right: 0, other: 0, none: 0 });
        row[outcome] += 1;
      }
    }
  }
  console.log(
    kind,
    Object.entries(counts[kind])
      .map(([way, row]) => `${way}: ${row.right} read, ${row.other} otherwise, ${row.none} not`)
      .join('; '),
  );
}
console.log(JSON.stringify(counts));

async function labelled(photo, { kind, text, share, degrees, blur }) {
  const tall = BARS.includes(share) ? { height: 12, includetext: true } : {};
  const symbol = await toBuffer({ bcid: kind, text, scale: 6, padding: 12, backgroundcolor: 'FFFFFF', ...tall });
  const label = await sharp(symbol)
    .resize(Math.round(WIDTH * share))
    .rotate(degrees, { background: '#ffffff' })
    .png()
    .toBuffer({ resolveWithObject: true });
  const left = Math.round((WIDTH - label.info.width) * 0.55);
  const top = Math.round((HEIGHT - label.info.height) * 0.45);
  const scene = await sharp(photo)
    .resize(WIDTH, HEIGHT, { fit: 'cover' })
    .composite([{ input: label.data, left, top }])
    .png({ compressionLevel: 1 })
    .toBuffer();
  const taken = sharp(scene).flatten();
  return (blur > 0 ? taken.blur(blur) : taken).jpeg({ quality: 85 }).toBuffer();
}

async function read(encoded, text) {
  const colours = { hasProfile: false, colourSpace: 'srgb' };
  const made = await makeRenditions({ encoded, failOn: 'error', colours }, [2048, 1024, 256]);
  const labels = await readLabels({ small: made.grey, large: made.largest, encoded }, 'search');
  if (labels.length === 0) return 'none';
  return labels.some((label) => label.text === text) ? 'right' : 'other';
}
