import { PHOTO_LIMITS } from '../domain/photo-limits.js';
import type { RawPicture } from './renditions.js';

/** What is used of libheif-js, which brings no types for its bundled build. */
interface HeifPicture {
  get_width(): number;
  get_height(): number;
  is_primary(): boolean;
  display(target: HeifTarget, done: (filled: HeifTarget | null) => void): void;
  free(): void;
}
interface HeifTarget {
  readonly data: Uint8ClampedArray;
  readonly width: number;
  readonly height: number;
}
interface HeifLibrary {
  readonly HeifDecoder: new () => { decode(content: Uint8Array): readonly HeifPicture[] };
}

/** The package that decodes HEIC is not installed: it is optional, because of its licence (LGPL-3.0) and of patents on HEVC. */
export class NoHeicDecoder extends Error {
  override readonly name = 'NoHeicDecoder';
}

/**
 * The main picture of a HEIC as RGBA. libheif has already turned and mirrored it as the container says; the Exif orientation must not
 * be applied again. Memory of the decoder only grows, so call it once in a process and end that process afterwards.
 * @throws NoHeicDecoder; Error when the picture cannot be decoded or is larger than its header said
 */
export async function decodeHeic(content: Uint8Array): Promise<RawPicture> {
  const library = await load();
  const pictures = new library.HeifDecoder().decode(content);
  try {
    const picture = pictures.find((each) => each.is_primary()) ?? pictures[0];
    if (!picture) throw new Error('no picture in this HEIC can be decoded');
    const [width, height] = [picture.get_width(), picture.get_height()];
    if (width * height > PHOTO_LIMITS.maxHeicPixels) throw new Error('pixel limit exceeded');
    const target: HeifTarget = { data: new Uint8ClampedArray(width * height * 4), width, height };
    const filled = await new Promise<HeifTarget | null>((settle) => picture.display(target, settle));
    if (!filled) throw new Error('the picture of this HEIC cannot be decoded');
    const { buffer, byteOffset, byteLength } = filled.data;
    return { content: Buffer.from(buffer, byteOffset, byteLength), info: { width, height, channels: 4 } };
  } finally {
    for (const picture of pictures) picture.free();
  }
}

/** The bundled WebAssembly build; the package's root is a build without it, which takes more than twice as long. */
async function load(): Promise<HeifLibrary> {
  const name = 'libheif-js/wasm-bundle.js';
  try {
    const found = (await import(name)) as { readonly default: HeifLibrary };
    return found.default;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ERR_MODULE_NOT_FOUND') {
      throw new NoHeicDecoder('libheif-js is not installed');
    }
    throw error;
  }
}
