import type { Transport } from '../adjudication.contract.js';
import { flag, may, must, object, oneOf, text, whole, type Read } from './json-reading.js';
import { date, MOST_MINOR } from './read-values.js';

/** How goods are carried, as far as the limits of a carrier's liability tell kinds apart. `none`: nobody carried them for hire. */
export const TRANSPORTS = ['domestic road', 'international road', 'air', 'sea', 'household move', 'none'] as const;
export type TransportRegime = (typeof TRANSPORTS)[number];

const MOST_GRAMS = 1_000_000_000;

/** Reads the carriage of a claim's goods. */
export const transport: Read<Transport> = object<Transport>({
  regime: must(oneOf(TRANSPORTS)),
  declaredValueMinor: may(whole(0, MOST_MINOR)),
  agreedPerPoundMinor: may(whole(0, MOST_MINOR)),
  writtenAgreement: may(flag),
  higherValueOffered: may(flag),
  conversion: may(flag),
  packages: may(whole(1, 100_000)),
  grossGrams: may(whole(1, MOST_GRAMS)),
  freightMinor: may(whole(0, MOST_MINOR)),
  damagedOn: may(date),
  sdrRate: may(
    object<NonNullable<Transport['sdrRate']>>({
      rate: must(text({ most: 20, pattern: /^\d{1,9}(?:\.\d{1,9})?$/, says: 'a decimal such as 1.3137' })),
      on: must(date),
      source: must(text()),
    }),
  ),
});
