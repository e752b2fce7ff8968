import { count } from './time-words.js';

/** What a phone still holds. */
export interface Held {
  readonly photosOwed: number;
  readonly factsOwed: number;
}

/** "3 photos and 1 note"; "nothing" where it holds nothing. */
export function heldWords({ photosOwed, factsOwed }: Held): string {
  const parts = [
    ...(photosOwed > 0 ? [count(photosOwed, 'photo')] : []),
    ...(factsOwed > 0 ? [count(factsOwed, 'note')] : []),
  ];
  return parts.length === 0 ? 'nothing' : parts.join(' and ');
}

function heldInSpanish({ photosOwed, factsOwed }: Held): string {
  const parts = [
    ...(photosOwed > 0 ? [count(photosOwed, 'foto')] : []),
    ...(factsOwed > 0 ? [count(factsOwed, 'nota')] : []),
  ];
  return parts.join(' y ');
}

/** A message for the crew whose phone still holds something, in the two languages of the crew's app, which says "All sent" at the end. */
export function nudgeWords(
  held: Held & { readonly order: string },
  link: string,
): { readonly en: string; readonly es: string } {
  return {
    en: `Order ${held.order}: your phone still holds ${heldWords(held)}. Please open this on the same phone, where it has a signal, and keep the page open until it says “All sent”: ${link}`,
    es: `Pedido ${held.order}: su teléfono todavía guarda ${heldInSpanish(held)}. Abra esto en el mismo teléfono, donde tenga señal, y deje la página abierta hasta que diga «Todo enviado»: ${link}`,
  };
}

/** "3 hours ahead", "12 minutes behind"; undefined within ten minutes, where a clock counts as right. Common practice. */
export function clockWords(aheadSeconds: number): string | undefined {
  const minutes = Math.round(Math.abs(aheadSeconds) / 60);
  if (Math.abs(aheadSeconds) <= 600) return undefined;
  const long = minutes < 120 ? count(minutes, 'minute') : count(Math.round(minutes / 60), 'hour');
  return `${long} ${aheadSeconds > 0 ? 'ahead' : 'behind'}`;
}
