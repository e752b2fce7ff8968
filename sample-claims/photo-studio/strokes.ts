/**
 * Letters as single strokes on a grid 4 wide and 6 high, drawn for this project, so that pictures do not depend on the fonts of
 * the machine. Each stroke is a run of two-digit points (x, y from the top); strokes are separated by spaces.
 */
const STROKES: Readonly<Record<string, string>> = {
  A: '062046 1434',
  B: '000636454433 0030413233 0333',
  C: '4130100105163645',
  D: '000626444220 0020',
  E: '40000646 0333',
  F: '400006 0333',
  G: '413010010516364544 4424',
  H: '0006 4046 0343',
  I: '2026 1030 1636',
  J: '4045361605',
  K: '0006 400246 0246',
  L: '000646',
  M: '0600234046',
  N: '06004640',
  O: '1030414536160501 0110',
  P: '060030413203 0333',
  Q: '1030414536160501 0110 2446',
  R: '06003041323303 2346',
  S: '413010010213334445361605',
  T: '0040 2026',
  U: '000516364540',
  V: '002640',
  W: '0016233640',
  X: '0046 4006',
  Y: '002340 2326',
  Z: '00400646',
  '0': '1030414536160501 0110 4105',
  '1': '112026 1636',
  '2': '01103041420646',
  '3': '013041423323 334445361605',
  '4': '300444 3036',
  '5': '400003334445361605',
  '6': '4130100105163645443303',
  '7': '004016',
  '8': '1030413213 1301 0110 1304051636453413 3413',
  '9': '41301001021333424145361605',
  '-': '1333',
  '.': '2526',
  ',': '252617',
  ':': '2222 2525',
  '/': '0640',
  '(': '31222435',
  ')': '11222415',
  '+': '2125 0343',
  '%': '0640 0110 3546',
  '#': '1016 3036 0242 0444',
  '!': '2024 2626',
  '?': '0110304132 2324 2626',
  "'": '2021',
  '×': '0145 4105',
  '✓': '031640',
  '✗': '0046 4006',
};

/** Strokes of one letter as points on the grid; capitals only, an unknown letter is a space. */
export function strokesOf(letter: string): (readonly [number, number])[][] {
  const drawn = STROKES[letter.toUpperCase()] ?? '';
  return drawn
    .split(' ')
    .filter((run) => run !== '')
    .map((run) =>
      (run.match(/\d\d/g) ?? []).map((pair): readonly [number, number] => [Number(pair[0]), Number(pair[1])]),
    );
}

/** Width of one letter and its gap, in parts of its height. */
export const ADVANCE = 5.6 / 6;

/** Every stroke of a line of text with the origin at its top left, in parts of the height. */
export function lettering(text: string, slant = 0): (readonly [number, number])[][] {
  return Array.from(text).flatMap((letter, index) =>
    strokesOf(letter).map((run) =>
      run.map(([x, y]): readonly [number, number] => [index * ADVANCE + (x + slant * (6 - y)) / 6, y / 6]),
    ),
  );
}
