/** GPS fields as the camera wrote them; a rational with a zero denominator arrives as NaN or Infinity. */
export interface RawPosition {
  readonly latitude?: readonly number[];
  readonly latitudeRef?: string;
  readonly longitude?: readonly number[];
  readonly longitudeRef?: string;
  readonly errorMetres?: number;
}

/** Decimal degrees (WGS 84 as recorded), south and west negative, and the error that the receiver claimed. */
export interface Position {
  readonly latitude: number;
  readonly longitude: number;
  readonly errorMetres?: number;
}

/** Why a photo has no position. The photo itself is kept in every case. */
export type NoPosition = 'none recorded' | 'no reference' | 'unreadable' | 'out of range' | 'zero';

/**
 * Position from degrees, minutes and seconds (Exif 2.32 section 4.6.6). A zero denominator, a missing hemisphere or a value out of
 * range refuses the position. 0,0 is what receivers without a fix write: it means none, never the Gulf of Guinea.
 */
export function positionOf(raw: RawPosition): Position | NoPosition {
  if (raw.latitude === undefined || raw.longitude === undefined) return 'none recorded';
  const latitudeSign = { N: 1, S: -1 }[letter(raw.latitudeRef)];
  const longitudeSign = { E: 1, W: -1 }[letter(raw.longitudeRef)];
  if (latitudeSign === undefined || longitudeSign === undefined) return 'no reference';
  const latitude = degreesOf(raw.latitude, 90);
  const longitude = degreesOf(raw.longitude, 180);
  if (typeof latitude === 'string') return latitude;
  if (typeof longitude === 'string') return longitude;
  if (latitude === 0 && longitude === 0) return 'zero';
  const error = raw.errorMetres;
  return {
    latitude: latitudeSign * latitude,
    longitude: longitudeSign * longitude,
    ...(error !== undefined && Number.isFinite(error) && error >= 0 ? { errorMetres: error } : {}),
  };
}

function letter(ref: string | undefined): string {
  return (ref ?? '').trim().toUpperCase();
}

function degreesOf(parts: readonly number[], most: number): number | 'unreadable' | 'out of range' {
  const [degrees, minutes, seconds] = parts;
  if (parts.length !== 3 || degrees === undefined || minutes === undefined || seconds === undefined)
    return 'unreadable';
  if (!parts.every((part) => Number.isFinite(part))) return 'unreadable';
  if (parts.some((part) => part < 0) || minutes >= 60 || seconds >= 60) return 'out of range';
  const value = degrees + minutes / 60 + seconds / 3600;
  return value > most ? 'out of range' : value;
}
