import { exifBlock, uprightBlock, withBlock } from './exif.js';

/** A photo as it is kept and sent, and a small picture of it; the small one is empty where the browser cannot open the photo. */
export interface Shrunk {
  readonly bytes: ArrayBuffer;
  readonly type: string;
  readonly thumb: ArrayBuffer;
}

const LONGEST_PX = 2048;
const THUMB_PX = 320;
const QUALITY = 0.82;
const THUMB_QUALITY = 0.7;
/** Where cameras write their block: before the picture, with a thumbnail of up to 64 kB in it. */
const HEAD_BYTES = 192 * 1024;

/**
 * Makes a photo small enough for a bad line: upright, at most 2048 px, with the camera's own data. One decode, one canvas, both let go
 * at once, because the camera leaves little memory. What the browser cannot open (HEIC on many phones) is kept whole.
 */
export async function shrink(file: Blob): Promise<Shrunk> {
  const block = exifBlock(await file.slice(0, HEAD_BYTES).arrayBuffer());
  let picture: ImageBitmap;
  try {
    picture = await createImageBitmap(file, { imageOrientation: 'from-image' });
  } catch {
    const type = file.type === '' ? 'application/octet-stream' : file.type;
    return { bytes: await file.arrayBuffer(), type, thumb: new ArrayBuffer(0) };
  }
  try {
    const small = await draw(picture, LONGEST_PX, QUALITY);
    const bytes = block === undefined ? small : withBlock(small, uprightBlock(block));
    return { bytes, type: 'image/jpeg', thumb: await draw(picture, THUMB_PX, THUMB_QUALITY) };
  } finally {
    picture.close();
  }
}

async function draw(picture: ImageBitmap, longest: number, quality: number): Promise<ArrayBuffer> {
  const scale = Math.min(1, longest / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  try {
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/jpeg', quality));
    if (blob === null) throw new Error('the picture could not be written');
    return await blob.arrayBuffer();
  } finally {
    // Safari keeps the memory of a canvas until its size says that it is nothing.
    canvas.width = 1;
    canvas.height = 1;
  }
}
