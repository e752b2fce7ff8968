import type { Words } from '../../kernel/vocabulary.js';
import type { Exposure } from './exposure.js';
import { isNotNearer, NEARNESS_LIMITS, type Nearness } from './nearness.js';
import type { PixelSize } from './photo-limits.js';
import type { Sharpness } from './sharpness.js';

export type QualityFlag = 'blurred' | 'too dark' | 'too bright' | 'flat' | 'small' | 'too small' | 'not nearer';

/** One piece of advice with the number that led to it. Advice only: evidence is never refused for its quality. */
export interface QualityAdvice {
  readonly flag: QualityFlag;
  readonly says: Words;
  readonly measured: number;
  readonly threshold: number;
  /** What was measured. */
  readonly measure?: QualityMeasure;
}

/** Numbers that advice rests on: those of `Sharpness` and `Exposure`, the spread p99 − p1, the long side in pixels, and the nearness. */
export type QualityMeasure =
  'crispness' | 'detail' | 'reblur' | 'p95' | 'nearWhite' | 'spread' | 'longSidePx' | 'nearness';

export interface PhotoQuality {
  readonly longSidePx: number;
  readonly sharpness: Sharpness;
  readonly exposure: Exposure;
  /** Of a pair of wide and close: how much nearer the close one is. */
  readonly nearness?: Nearness;
  readonly advice: readonly QualityAdvice[];
}

/**
 * Starting values, to be tuned on crews' own photos. Measured on 188 to 560 general camera photos: the three blur rules flag 5, 7 and
 * 5 % of sharp ones; crispness finds 90 and detail 79 % of those blurred with sigma 1.5 at 1024 pixels, detail 93 % of those blurred
 * with sigma 3 under noise of 4 levels, reblur 97 % of those moved by 15 pixels; the light rules flag 1 to 5 % of normal ones.
 * docs/photos.md has the whole table. The long sides are common practice.
 */
export const QUALITY_THRESHOLDS = {
  crispness: 0.15,
  detail: 80,
  reblur: 0.47,
  darkP95: 90,
  nearWhiteShare: 0.25,
  spread: 60,
  smallPx: 1600,
  tooSmallPx: 1024,
} as const;

/** Judges the numbers and words the advice for the crew, while the thing is still in front of them. */
export function judgeQuality(upright: PixelSize, measured: Omit<PhotoQuality, 'longSidePx' | 'advice'>): PhotoQuality {
  const { sharpness, exposure, nearness } = measured;
  const longSidePx = Math.max(upright.width, upright.height);
  const advice = [
    blurAdvice(sharpness),
    when('too dark', exposure.p95 < QUALITY_THRESHOLDS.darkP95, exposure.p95, QUALITY_THRESHOLDS.darkP95, 'p95'),
    when(
      'too bright',
      exposure.nearWhite > QUALITY_THRESHOLDS.nearWhiteShare,
      exposure.nearWhite,
      QUALITY_THRESHOLDS.nearWhiteShare,
      'nearWhite',
    ),
    when(
      'flat',
      exposure.p99 - exposure.p1 < QUALITY_THRESHOLDS.spread,
      exposure.p99 - exposure.p1,
      QUALITY_THRESHOLDS.spread,
      'spread',
    ),
    sizeAdvice(longSidePx),
    nearness && when('not nearer', isNotNearer(nearness), nearness.scale ?? 1, NEARNESS_LIMITS.scale, 'nearness'),
  ].filter((item) => item !== undefined);
  return { longSidePx, ...measured, advice };
}

const SAYS: Readonly<Record<QualityFlag, Words>> = {
  blurred: {
    en: 'Too blurred to judge. Hold still and take it again, as sharp as you can.',
    es: 'Demasiado borrosa para juzgar. Sujete firme el teléfono y tómela otra vez.',
  },
  'too dark': {
    en: 'Very dark. Put on a light or the flash and take it again.',
    es: 'Muy oscura. Encienda una luz o el flash y tómela otra vez.',
  },
  'too bright': {
    en: 'Large parts are washed out. Turn away from the light and take it again if the damage is not clear.',
    es: 'Hay zonas quemadas por la luz. Cambie de ángulo y tómela otra vez si el daño no se ve claro.',
  },
  flat: {
    en: 'Almost nothing can be made out. Check the lens and take it again.',
    es: 'Casi no se distingue nada. Revise la lente y tómela otra vez.',
  },
  small: {
    en: 'Rather small. If it came through a messenger, send the photo from the camera itself.',
    es: 'Bastante pequeña. Si llegó por mensajería, envíe la foto original de la cámara.',
  },
  'too small': {
    en: 'Too small to show detail. Send the photo from the camera itself.',
    es: 'Demasiado pequeña para ver detalles. Envíe la foto original de la cámara.',
  },
  'not nearer': {
    en: 'The close-up shows no more than the overview. Go nearer and take the close-up again.',
    es: 'El primer plano no muestra más que la vista general. Acérquese y tome otra vez el primer plano.',
  },
};

/** One piece of advice about focus at most: the first rule that is broken, in the order of what it finds alone. */
function blurAdvice({ crispness, detail, reblur }: Sharpness): QualityAdvice | undefined {
  const limits = QUALITY_THRESHOLDS;
  return (
    when(
      'blurred',
      crispness !== null && crispness < limits.crispness,
      crispness ?? 0,
      limits.crispness,
      'crispness',
    ) ??
    when('blurred', detail < limits.detail, detail, limits.detail, 'detail') ??
    when('blurred', reblur > limits.reblur, reblur, limits.reblur, 'reblur')
  );
}

function sizeAdvice(longSidePx: number): QualityAdvice | undefined {
  const { smallPx, tooSmallPx } = QUALITY_THRESHOLDS;
  if (longSidePx < tooSmallPx) return when('too small', true, longSidePx, tooSmallPx, 'longSidePx');
  return when('small', longSidePx < smallPx, longSidePx, smallPx, 'longSidePx');
}

function when(
  flag: QualityFlag,
  holds: boolean,
  measured: number,
  threshold: number,
  measure: QualityMeasure,
): QualityAdvice | undefined {
  return holds ? { flag, says: SAYS[flag], measured, threshold, measure } : undefined;
}
