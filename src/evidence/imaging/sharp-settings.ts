import sharp, { type SharpOptions } from 'sharp';
import { PHOTO_LIMITS } from '../domain/photo-limits.js';

/**
 * Settings of the whole process, once at its start: no cache, one thread a picture (one picture runs per core), and only the four
 * loaders for what is kept; SVG, GIF, TIFF and the rest are on by default. HEIF stays for its metadata alone.
 */
export function settleSharp(): void {
  sharp.cache(false);
  sharp.concurrency(1);
  sharp.block({ operation: ['VipsForeignLoad'] });
  sharp.unblock({
    operation: ['VipsForeignLoadJpeg', 'VipsForeignLoadPng', 'VipsForeignLoadWebp', 'VipsForeignLoadHeif'],
  });
}

/** Per picture. `error` refuses broken data, `none` shows what can be decoded. */
export function inputOptions(failOn: 'error' | 'none'): SharpOptions {
  return {
    failOn,
    limitInputPixels: PHOTO_LIMITS.maxPixels,
    limitInputChannels: 5,
    unlimited: false,
    sequentialRead: true,
    pages: 1,
  };
}

/** Cooperative limit of one pipeline; the parent's SIGKILL is the real one. */
export const PIPELINE_SECONDS = 20;
