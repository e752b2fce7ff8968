import type { FindingBar, RankedExplanation } from '../diagnosis.contract.js';

/**
 * Why a finding goes to a person, one sentence each; empty when the service may speak for itself.
 * `marginDecibans` is undefined when there is no second explanation.
 */
export function abstentions(
  finding: {
    readonly explanations: readonly RankedExplanation[];
    readonly marginDecibans: number | undefined;
    readonly tail: number;
  },
  bar: FindingBar,
): string[] {
  const [best, second] = finding.explanations;
  if (best === undefined) return ['The evidence model has no explanation for this.'];
  const reasons: string[] = [];
  if (best.probability < bar.probability)
    reasons.push(
      `The best explanation, ${named(best)}, has a probability of ${figure(best.probability)}; the bar is ${figure(bar.probability)}.`,
    );
  if (second !== undefined && finding.marginDecibans !== undefined && finding.marginDecibans < bar.marginDecibans)
    reasons.push(
      `It is only ${figure(finding.marginDecibans)} decibans ahead of the next, ${named(second)}; the bar is ${figure(bar.marginDecibans)}.`,
    );
  if (finding.tail < bar.surprise)
    reasons.push(
      `What was seen fits even the best explanation badly: if it were true, evidence this unlikely would turn up with a probability of ${figure(finding.tail)}; the bar is ${figure(bar.surprise)}.`,
    );
  return reasons;
}

function named(one: RankedExplanation): string {
  return `${one.component}: ${one.fault}`;
}

/** Three significant digits, cut rather than rounded up, so that a value under a bar never reads as the bar. */
function figure(value: number): string {
  if (value <= 0) return '0';
  const step = 10 ** (Math.floor(Math.log10(value)) - 2);
  const cut = Math.floor(value / step + 1e-9) * step;
  return String(Number(cut.toPrecision(3)));
}
