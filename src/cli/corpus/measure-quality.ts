import sharp from 'sharp';
import { exposureOf } from '../../evidence/domain/exposure.js';
import { isNotNearer, nearnessOf, NEARNESS_SIDE, shrunk } from '../../evidence/domain/nearness.js';
import { QUALITY_THRESHOLDS } from '../../evidence/domain/quality.js';
import { sharpnessOf, type GreyPicture } from '../../evidence/domain/sharpness.js';
import { both, defocus, exposed, motion, noise, UNTOUCHED } from './degrade.js';
import { share, type Measurement } from './table.js';

const LIMITS = QUALITY_THRESHOLDS;

/** Each blur rule, and all of them, on the photos and on spoilt copies. @param photos at 1024 px */
export async function measureBlur(photos: readonly GreyPicture[]): Promise<Measurement> {
  const ways = [
    UNTOUCHED,
    noise(4),
    ...[1, 1.5, 2, 3].map(defocus),
    both(defocus(3), noise(4)),
    both(defocus(3), noise(8)),
    ...[7, 15].map(motion),
  ];
  const rows: string[][] = [];
  for (const { name, apply } of ways) {
    const found = (await Promise.all(photos.map(apply))).map(sharpnessOf);
    const crispness = found.map((each) => each.crispness !== null && each.crispness < LIMITS.crispness);
    const detail = found.map((each) => each.detail < LIMITS.detail);
    const reblur = found.map((each) => each.reblur > LIMITS.reblur);
    const any = found.map((_, at) => crispness[at] === true || detail[at] === true || reblur[at] === true);
    rows.push([
      name,
      ...[crispness, detail, reblur, any].map((flags) => share(flags.filter(Boolean).length, flags.length)),
    ]);
  }
  return {
    title: 'Blur',
    says: 'Photos that are called blurred, of the photos as taken and of copies spoilt by a program. Some may have been blurred before.',
    head: [
      'photos',
      `crispness < ${LIMITS.crispness}`,
      `detail < ${LIMITS.detail}`,
      `reblur > ${LIMITS.reblur}`,
      'any',
    ],
    rows,
  };
}

export async function measureExposure(photos: readonly GreyPicture[]): Promise<Measurement> {
  const rows: string[][] = [];
  for (const { name, apply } of [UNTOUCHED, ...[-3, -2, -1, 1, 2, 3].map(exposed)]) {
    const found = (await Promise.all(photos.map(apply))).map(exposureOf);
    const counts = [
      found.filter(({ p95 }) => p95 < LIMITS.darkP95),
      found.filter(({ nearWhite }) => nearWhite > LIMITS.nearWhiteShare),
      found.filter(({ p1, p99 }) => p99 - p1 < LIMITS.spread),
    ];
    rows.push([name, ...counts.map(({ length }) => share(length, found.length))]);
  }
  return {
    title: 'Light',
    says: 'Photos that are called too dark, too bright or flat, as taken and exposed otherwise by a program, in linear light.',
    head: ['photos', 'too dark', 'too bright', 'flat'],
    rows,
  };
}

/** Pairs cut out of one photo, turned and lit otherwise: kinder than a crew that walks up to a thing. */
export async function measureNearness(photos: readonly GreyPicture[]): Promise<Measurement> {
  const rows: string[][] = [];
  for (const nearer of [1, 1.1, 1.5, 2, 3]) {
    for (const degrees of [0, 4]) {
      const pairs = await Promise.all(
        photos.map(async (photo) => nearnessOf(small(photo), small(await closeUp(photo, nearer, degrees)))),
      );
      const told = pairs.filter(({ scale }) => scale !== undefined);
      rows.push([
        `${nearer} times nearer${degrees === 0 ? '' : `, turned by ${degrees}°`}`,
        share(pairs.filter(isNotNearer).length, pairs.length),
        share(told.length, pairs.length),
      ]);
    }
  }
  const strangers = photos.flatMap((wide, at) =>
    photos.slice(at + 1).map((near) => nearnessOf(small(wide), small(near))),
  );
  rows.push([
    'photos of different things',
    share(strangers.filter(isNotNearer).length, strangers.length),
    share(strangers.filter(({ scale }) => scale !== undefined).length, strangers.length),
  ]);
  return {
    title: 'Wide and close',
    says: 'Pairs made out of one photo by a program. Crews walk round things: expect that less can be told of their pairs.',
    head: ['close-up', 'called not nearer', 'could be told'],
    rows,
  };
}

function small(picture: GreyPicture): GreyPicture {
  const factor = Math.min(1, NEARNESS_SIDE / Math.max(picture.width, picture.height));
  return shrunk(picture, Math.round(picture.width * factor), Math.round(picture.height * factor));
}

async function closeUp({ pixels, width, height }: GreyPicture, nearer: number, degrees: number): Promise<GreyPicture> {
  // What is turned shows corners of nothing; the cut from its middle leaves them out.
  const turned = await sharp(pixels, { raw: { width, height, channels: 1 } })
    .rotate(degrees, { background: '#808080' })
    .toColourspace('b-w')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  const margin = degrees === 0 ? 1 : 0.92;
  const [w, h] = [Math.round((width * margin) / nearer), Math.round((height * margin) / nearer)];
  const { data, info } = await sharp(turned.data, {
    raw: { width: turned.info.width, height: turned.info.height, channels: 1 },
  })
    .extract({
      left: Math.floor((turned.info.width - w) * 0.5),
      top: Math.floor((turned.info.height - h) * 0.5),
      width: w,
      height: h,
    })
    .linear(0.85, 20)
    .toColourspace('b-w')
    .raw({ depth: 'uchar' })
    .toBuffer({ resolveWithObject: true });
  return { pixels: data, width: info.width, height: info.height };
}
