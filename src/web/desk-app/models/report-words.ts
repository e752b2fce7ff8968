import type { Share } from '../../../diagnosis/learning.contract.js';

/** "83 %", of whatever precision a table of shares needs. */
export function showPercent(share: number): string {
  return `${(share * 100).toFixed(share === 0 || share === 1 ? 0 : 1)} %`;
}

/** "25 of 30: 83.3 % (66.4 to 92.7)": a share with its 95 % interval. */
export function showInterval({ count, of, share, low, high }: Share): string {
  return `${count} of ${of}: ${showPercent(share)} (${(low * 100).toFixed(1)} to ${(high * 100).toFixed(1)})`;
}
