/** Maker, model and software of a camera as text that is safe to show. */
export interface Camera {
  readonly make?: string;
  readonly model?: string;
  readonly software?: string;
}

const MAX_LENGTH = 100;

/**
 * Camera fields cleaned: control characters, NULs and undecodable bytes go, white space folds, the length is bounded. What is not
 * text, or nothing but rubbish, is absent.
 */
export function cameraOf(raw: {
  readonly make?: unknown;
  readonly model?: unknown;
  readonly software?: unknown;
}): Camera {
  const make = cleanText(raw.make);
  const model = cleanText(raw.model);
  const software = cleanText(raw.software);
  return { ...(make && { make }), ...(model && { model }), ...(software && { software }) };
}

/** One metadata string cleaned, or undefined when nothing readable is left. */
export function cleanText(value: unknown, maxLength = MAX_LENGTH): string | undefined {
  if (typeof value !== 'string') return undefined;
  const text = value
    .slice(0, maxLength * 10)
    .replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}\ufffd]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim();
  const bounded = Array.from(text).slice(0, maxLength).join('').trim();
  return /[\p{L}\p{N}]/u.test(bounded) ? bounded : undefined;
}
