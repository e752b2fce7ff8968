/** How often a doubt spoke up about photos as people publish them: what it is worth, as measured. */
export interface ErrorRate {
  /** Photos that were flagged, of so many. */
  readonly flagged: number;
  readonly of: number;
  /** Which photos. */
  readonly among: string;
}

/**
 * Measured on 25 November 2026 over photos of public sets (camera files of 24 open repositories, edited ones among them, so the rates
 * are upper bounds); the last by `npm run -s corpus` over nine scenes. docs/photos.md says how to measure them again on photos of one's own. Kinds that compare with the visit or the
 * sender cannot be measured without visits and have none.
 */
export const DOUBT_RATES = {
  edited: { flagged: 20, of: 245, among: 'camera files' },
  'changed later': { flagged: 42, of: 193, among: 'camera files with both times' },
  'size differs': { flagged: 15, of: 212, among: 'camera files that state a size' },
  'thumbnail differs': { flagged: 3, of: 187, among: 'camera files with an embedded thumbnail' },
  'compressed twice': { flagged: 0, of: 45, among: 'copies of nine photos that were compressed once' },
} as const satisfies Readonly<Record<string, ErrorRate>>;
