import { crc32, deflateSync } from 'node:zlib';

/** Bytes of a PNG before its first optional chunk: signature (8) and IHDR with its framing (25). ISO/IEC 15948 5.2, 11.2.2. */
const BEFORE_CHUNKS = 33;

/**
 * Puts a colour profile into a PNG that has none, without touching its pixels: sharp can only convert to a profile, not assign one.
 * The chunk is iCCP (ISO/IEC 15948 11.3.3.3).
 * @param png as sharp writes it
 * @param profile ICC profile of an RGB picture
 */
export function withProfile(png: Buffer, profile: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from('iCCPphoto\0\0', 'latin1'), deflateSync(profile, { level: 1 })]);
  const chunk = Buffer.alloc(body.length + 8);
  chunk.writeUInt32BE(body.length - 4, 0);
  body.copy(chunk, 4);
  chunk.writeUInt32BE(crc32(body), body.length + 4);
  return Buffer.concat([png.subarray(0, BEFORE_CHUNKS), chunk, png.subarray(BEFORE_CHUNKS)]);
}

/** Whether a profile describes RGB, by the signature of its data colour space (ICC.1:2022, header bytes 16 to 19). */
export function isRgbProfile(profile: Buffer): boolean {
  return profile.length >= 128 && profile.toString('latin1', 16, 20) === 'RGB ';
}
