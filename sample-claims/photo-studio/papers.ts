import bwipjs from 'bwip-js/node';
import type { Point } from './space.js';
import { type Colour, hex } from './paint.js';
import type { Panel } from './panel.js';

export type IndicatorState = 'intact' | 'tripped';

const INK: Colour = [24, 24, 28];
const PAPER = hex('#f4f2ec');

/**
 * A logistics label with a GS1-128 symbol (GS1 General Specifications, section 5.4), its bars from bwip-js. `content` is the
 * element string in brackets, e.g. "(00)…". The text line below the bars repeats it.
 */
export function cartonLabel(panel: Panel, u: number, v: number, width: number, content: string): void {
  const height = width * 0.68;
  panel.rectangle(u + 0.003, v + 0.004, width, height, { colour: [30, 20, 10], opacity: 0.35, blur: 0.004 });
  panel.rectangle(u, v, width, height, { colour: PAPER });
  panel.text('FROM: ZZ DISTRIBUTION DOCK 4', u + width * 0.04, v + height * 0.05, height * 0.05, { colour: INK });
  panel.text('TO: HOME DELIVERY, 2 PERSONS', u + width * 0.04, v + height * 0.13, height * 0.05, { colour: INK });
  panel.line(
    [
      [u + width * 0.03, v + height * 0.22],
      [u + width * 0.97, v + height * 0.22],
    ],
    0.0016,
    { colour: INK },
  );
  bars(panel, content, u + width * 0.07, v + height * 0.3, width * 0.86, height * 0.48);
  panel.text(content, u + width * 0.09, v + height * 0.84, height * 0.068, { colour: INK }, { bold: 0.11 });
}

/** Bars of a GS1-128 symbol across a width, without its quiet zones. */
export function bars(panel: Panel, content: string, u: number, v: number, width: number, height: number): void {
  const drawn: unknown = bwipjs.raw({ bcid: 'gs1-128', text: content });
  const widths = barWidths(drawn);
  const modules = widths.reduce((sum, n) => sum + n, 0);
  let at = u;
  widths.forEach((n, i) => {
    const wide = (n / modules) * width;
    if (i % 2 === 0) panel.rectangle(at, v, wide, height, { colour: INK });
    at += wide;
  });
}

function barWidths(drawn: unknown): number[] {
  const first: unknown = Array.isArray(drawn) ? drawn[0] : undefined;
  if (typeof first !== 'object' || first === null || !('sbs' in first) || !Array.isArray(first.sbs))
    throw new Error('the barcode library gave no bars');
  return first.sbs.map(Number);
}

/** A shock or tilt indicator of nobody's make: a window that is clear until the limit is passed, then red. */
export function indicator(
  panel: Panel,
  u: number,
  v: number,
  size: number,
  kind: 'impact' | 'tilt',
  state: IndicatorState,
): void {
  const ground = kind === 'impact' ? hex('#f2c335') : hex('#3f8fc4');
  panel.rectangle(u + 0.002, v + 0.003, size, size, { colour: [20, 12, 6], opacity: 0.4, blur: 0.003 });
  panel.rectangle(u, v, size, size, { colour: ground });
  panel.rectangle(u + size * 0.06, v + size * 0.06, size * 0.88, size * 0.2, { colour: PAPER });
  panel.text(
    kind === 'impact' ? 'IMPACT' : 'TILT',
    u + size * (kind === 'impact' ? 0.14 : 0.28),
    v + size * 0.1,
    size * 0.12,
    { colour: INK },
    { bold: 0.18 },
  );
  const window = state === 'tripped' ? hex('#cf1f1f') : hex('#f7f7f4');
  panel.ellipse(u + size / 2, v + size * 0.55, size * 0.24, size * 0.24, { colour: INK });
  panel.ellipse(u + size / 2, v + size * 0.55, size * 0.2, size * 0.2, { colour: window });
  if (state === 'tripped')
    panel.area(panel.blob(u + size * 0.5, v + size * 0.58, size * 0.14, size * 0.12, 0.3), {
      colour: hex('#8e0d0d'),
      opacity: 0.8,
    });
  panel.ellipse(u + size * 0.43, v + size * 0.48, size * 0.06, size * 0.04, { colour: [255, 255, 255], opacity: 0.55 });
  panel.text('RED: INSPECT', u + size * 0.12, v + size * 0.84, size * 0.09, { colour: INK }, { bold: 0.15 });
}

export interface ListLine {
  readonly number: string;
  readonly title: string;
  readonly pieces: number;
  readonly found: number;
}

/** A packing list ticked off by hand; short lines are ringed. */
export function packingList(panel: Panel, heading: string, lines: readonly ListLine[]): void {
  const { width: w, height: h } = panel;
  panel.rectangle(0, 0, w, h, { colour: PAPER });
  panel.rectangle(0, 0, w, h * 0.11, { colour: hex('#dcdad2') });
  panel.text('PACKING LIST', w * 0.05, h * 0.03, h * 0.035, { colour: INK }, { bold: 0.16 });
  panel.text(heading, w * 0.05, h * 0.125, h * 0.02, { colour: INK });
  lines.forEach((line, i) => {
    const v = h * (0.2 + i * 0.078);
    panel.line(
      [
        [w * 0.05, v + h * 0.05],
        [w * 0.95, v + h * 0.05],
      ],
      0.0006,
      { colour: INK, opacity: 0.5 },
    );
    panel.text(line.number, w * 0.05, v, h * 0.022, { colour: INK });
    panel.text(line.title, w * 0.24, v, h * 0.022, { colour: INK });
    panel.text(`${line.pieces}`, w * 0.76, v, h * 0.022, { colour: INK });
    const pen: Colour = [24, 42, 140];
    const short = line.found < line.pieces;
    panel.text(
      short ? `${line.found} ?` : '✓',
      w * 0.85,
      v - h * 0.006,
      h * 0.036,
      { colour: short ? [190, 22, 26] : pen },
      { slant: 0.5, shake: 0.04 },
    );
    if (short)
      panel.line([...ring(w * 0.83, v + h * 0.012, w * 0.15, h * 0.032)], 0.0016, {
        colour: [190, 22, 26],
        opacity: 0.85,
      });
  });
}

/** A delivery receipt with the words that were written on it. */
export function receipt(panel: Panel, reference: string, words: readonly string[], carrier: string): void {
  const { width: w, height: h } = panel;
  panel.rectangle(0, 0, w, h, { colour: hex('#f6f1df') });
  panel.rectangle(0, 0, w, h * 0.1, { colour: hex('#c9d6cc') });
  panel.text('DELIVERY RECEIPT', w * 0.05, h * 0.03, h * 0.035, { colour: INK }, { bold: 0.16 });
  panel.text(carrier, w * 0.05, h * 0.14, h * 0.024, { colour: INK });
  panel.text(`ORDER ${reference}`, w * 0.05, h * 0.19, h * 0.024, { colour: INK });
  panel.text('1 CARTON, 2 PERSON DELIVERY', w * 0.05, h * 0.24, h * 0.024, { colour: INK });
  panel.line(
    [
      [w * 0.05, h * 0.3],
      [w * 0.95, h * 0.3],
    ],
    0.001,
    { colour: INK },
  );
  panel.text('CONDITION AT DELIVERY / EXCEPTIONS', w * 0.05, h * 0.32, h * 0.018, { colour: INK });
  words.forEach((line, i) =>
    panel.text(
      line,
      w * 0.07,
      h * (0.38 + i * 0.085),
      h * 0.042,
      { colour: [26, 44, 142] },
      { slant: 0.6, shake: 0.035, bold: 0.1 },
    ),
  );
  panel.line(
    [
      [w * 0.05, h * 0.85],
      [w * 0.6, h * 0.85],
    ],
    0.001,
    { colour: INK },
  );
  panel.text('SIGNED', w * 0.05, h * 0.87, h * 0.018, { colour: INK });
  const signature = Array.from({ length: 30 }, (_, i): Point => [
    w * (0.08 + i * 0.015),
    h * (0.8 + Math.sin(i * 1.9) * 0.03 * (1 - i / 45)),
  ]);
  panel.line(signature, 0.0014, { colour: [26, 44, 142] });
}

/** The maker's plate with model, serial number and the usual warnings as symbols. */
export function plate(panel: Panel, maker: string, sku: string, serial: string): void {
  const { width: w, height: h } = panel;
  panel.rectangle(0, 0, w, h, { colour: hex('#d9dadc') });
  panel.rectangle(w * 0.012, h * 0.02, w * 0.976, h * 0.96, { colour: hex('#eceded') });
  panel.text(maker, w * 0.05, h * 0.09, Math.min(h * 0.1, (w * 1.22) / maker.length), { colour: INK }, { bold: 0.16 });
  panel.text(sku, w * 0.05, h * 0.27, h * 0.085, { colour: INK });
  panel.text('INPUT 100-240 V 50/60 HZ 2 A', w * 0.05, h * 0.41, h * 0.06, { colour: INK });
  panel.text(`S/N ${serial}`, w * 0.05, h * 0.52, h * 0.1, { colour: INK }, { bold: 0.14 });
  bars(panel, `(21)${serial}`, w * 0.06, h * 0.71, w * 0.6, h * 0.2);
  panel.area(
    [
      [w * 0.85, h * 0.68],
      [w * 0.96, h * 0.94],
      [w * 0.74, h * 0.94],
    ],
    { colour: INK },
  );
  panel.area(
    [
      [w * 0.85, h * 0.735],
      [w * 0.935, h * 0.918],
      [w * 0.765, h * 0.918],
    ],
    { colour: hex('#f2c335') },
  );
  panel.text('!', w * 0.826, h * 0.765, h * 0.13, { colour: INK }, { bold: 0.2 });
}

function ring(u: number, v: number, width: number, tall: number): Point[] {
  return Array.from({ length: 27 }, (_, i): Point => {
    const a = (i / 25) * 2 * Math.PI - 1.2;
    return [u + width * (0.45 + 0.5 * Math.cos(a)), v + tall * 0.2 + tall * Math.sin(a) * (1 + i * 0.008)];
  });
}

/** A serial shipping container code with its check digit (GS1 General Specifications, section 7.9.1). @param digits the first 17 */
export function sscc(digits: string): string {
  const sum = Array.from(digits).reduce((total, digit, i) => total + Number(digit) * (i % 2 === 0 ? 3 : 1), 0);
  return `(00)${digits}${(10 - (sum % 10)) % 10}`;
}
