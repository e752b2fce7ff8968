/** ITU-T T.81 table K.1, the luminance example that the Independent JPEG Group's library scales by quality; in zigzag order. */
const LUMINANCE = [
  16, 11, 12, 14, 12, 10, 16, 14, 13, 14, 18, 17, 16, 19, 24, 40, 26, 24, 22, 22, 24, 49, 35, 37, 29, 40, 58, 51, 61,
  60, 57, 51, 56, 55, 64, 72, 92, 78, 64, 68, 87, 69, 55, 56, 80, 109, 81, 87, 95, 98, 103, 104, 103, 62, 77, 113, 121,
  112, 100, 120, 92, 101, 103, 99,
];

/** Luma steps of the IJG library at a quality of 1 to 100, in zigzag order (jcparam.c: jpeg_quality_scaling, baseline). */
export function ijgLuma(quality: number): Uint16Array {
  const scale = quality < 50 ? Math.floor(5000 / quality) : 200 - quality * 2;
  return Uint16Array.from(LUMINANCE, (step) => Math.min(255, Math.max(1, Math.floor((step * scale + 50) / 100))));
}

const BY_STEPS = new Map(Array.from({ length: 100 }, (_, index) => [ijgLuma(index + 1).join(), index + 1]));

/** The IJG quality whose luma table this is exactly; undefined for a maker's own table. Many cameras use the IJG's: it proves nothing. */
export function ijgQuality(luma: Uint16Array): number | undefined {
  return BY_STEPS.get(luma.join());
}
