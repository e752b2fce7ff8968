import type { ReactNode } from 'react';
import { weightWords } from '../../domain/trade-words.js';

/** "speaks strongly for it" → "strongly for". */
export function shortWeight(decibans: number): string {
  return weightWords(decibans)
    .replace(/^speaks /, '')
    .replace(/ it$/, '')
    .replace('hardly says anything', 'hardly either way');
}

/** +12.3, −4.0: with a sign, and with one digit behind the point. */
export function showDecibans(decibans: number): string {
  const rounded = Math.abs(decibans).toFixed(1);
  if (rounded === '0.0') return '0.0';
  return `${decibans > 0 ? '+' : '\u2212'}${rounded}`;
}

/** 0.0432 → "0.043": three digits that count. */
export function showNumber(value: number | string): string {
  return typeof value === 'string' ? value : String(Number(value.toPrecision(3)));
}

/** A share of one as a bar; the number stands beside it. */
export function ShareBar({ share }: { readonly share: number }): ReactNode {
  return (
    <svg className="sharebar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect className="track" width="100" height="10" />
      <rect className="fill" width={Math.max(0.5, Math.min(1, share) * 100)} height="10" />
    </svg>
  );
}

/** A bar from the middle: to the right what speaks for, to the left what speaks against; 20 decibans and more fill it. */
export function WeightBar({ decibans }: { readonly decibans: number }): ReactNode {
  const length = Math.min(Math.abs(decibans), 20) * 2.5;
  return (
    <svg className="weight" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect className="track" width="100" height="10" />
      <rect
        className={decibans < 0 ? 'other' : 'fill'}
        x={decibans < 0 ? 50 - length : 50}
        width={length}
        height="10"
      />
      <path d="M50 0V10" stroke="currentColor" vectorEffect="non-scaling-stroke" />
    </svg>
  );
}

/** A weight as a bar, a number and words. */
export function Weight({ decibans }: { readonly decibans: number }): ReactNode {
  return (
    <span className="weighs">
      <WeightBar decibans={decibans} />
      <span className="figures">{showDecibans(decibans)}</span>
      <span className="sub">{shortWeight(decibans)}</span>
    </span>
  );
}
