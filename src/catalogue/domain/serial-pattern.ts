/**
 * Serial patterns are written by people and run on text that strangers type, so only a small, always-fast part of the regular
 * expression language is accepted: anchored, no group repeated, no look-around, no back-reference, and few ways to match.
 */

/** Longest pattern, and longest serial that is ever matched. */
export const SERIAL_PATTERN_LENGTH = 200;
export const SERIAL_LENGTH = 64;

/** Ways of matching that a pattern may leave open: the product of the widths of its quantifiers and alternatives. Common practice. */
const MOST_WAYS = 100_000;

/**
 * Why a serial pattern cannot be used, as a sentence; undefined when it can.
 * @param pattern regular expression text without slashes, e.g. `^DR7[A-HJ-NP-Z][0-9]{6}$`
 */
export function serialPatternFault(pattern: string): string | undefined {
  if (pattern.length > SERIAL_PATTERN_LENGTH) return `must have at most ${SERIAL_PATTERN_LENGTH} characters`;
  if (!pattern.startsWith('^') || !pattern.endsWith('$') || pattern.endsWith('\\$')) {
    return 'must start with ^ and end with $, so that it describes the whole serial number';
  }
  try {
    void new RegExp(pattern, 'u');
  } catch {
    return 'is not a regular expression';
  }
  return new PatternReader(pattern.slice(1, -1)).fault();
}

/** Whether a serial number is one of a model's. @throws SyntaxError on a pattern that `serialPatternFault` refuses */
export function serialMatches(pattern: string, serial: string): boolean {
  return serial.length <= SERIAL_LENGTH && new RegExp(pattern, 'u').test(serial);
}

const REFUSED_IN_GROUPS = 'must not use look-around, named groups or flags inside a group';

class PatternReader {
  private at = 0;
  private ways = 1;
  private depth = 0;
  private readonly groupAlternatives: number[] = [];

  constructor(private readonly body: string) {}

  fault(): string | undefined {
    while (this.at < this.body.length) {
      const fault = this.readOne();
      if (fault !== undefined) return fault;
    }
    if (this.ways > MOST_WAYS) return 'leaves too many ways to match; use fixed lengths such as [0-9]{6}';
    return undefined;
  }

  private readOne(): string | undefined {
    const character = this.body[this.at] ?? '';
    switch (character) {
      case '(':
        return this.openGroup();
      case ')':
        return this.closeGroup();
      case '|':
        return this.alternative();
      case '^':
      case '$':
        return 'must use ^ and $ only as its first and last character';
      case '[':
        this.at = this.endOfClass();
        return this.quantifier();
      case '\\':
        return this.escape();
      default:
        this.at += 1;
        return this.quantifier();
    }
  }

  private openGroup(): string | undefined {
    this.at += 1;
    if (this.body.startsWith('?:', this.at)) this.at += 2;
    else if (this.body[this.at] === '?') return REFUSED_IN_GROUPS;
    this.depth += 1;
    this.groupAlternatives.push(1);
    return undefined;
  }

  private closeGroup(): string | undefined {
    this.at += 1;
    this.depth -= 1;
    this.ways *= this.groupAlternatives.pop() ?? 1;
    return /[?*+{]/.test(this.body[this.at] ?? '') ? 'must not repeat a group; write its parts out' : undefined;
  }

  private alternative(): string | undefined {
    this.at += 1;
    // Outside a group `^A|B$` would anchor each half on one side only.
    if (this.depth === 0) return 'must put alternatives into a group, as in ^(A|B)$';
    this.groupAlternatives.push((this.groupAlternatives.pop() ?? 1) + 1);
    return undefined;
  }

  private escape(): string | undefined {
    const escaped = this.body[this.at + 1] ?? '';
    if (!/[dw.\-/\\+*?()[\]{}|^$]/.test(escaped)) return `must not use \\${escaped}`;
    this.at += 2;
    return this.quantifier();
  }

  /** Index behind the `]` that closes the class. The expression is known to be well formed. */
  private endOfClass(): number {
    let at = this.at + 1;
    while (this.body[at] !== ']') at += this.body[at] === '\\' ? 2 : 1;
    return at + 1;
  }

  private quantifier(): string | undefined {
    const rest = this.body.slice(this.at);
    const match = /^(?:[?*+]|\{(\d+)(?:(,)(\d*))?\})\??/.exec(rest);
    if (!match) return undefined;
    this.at += match[0].length;
    const symbol = match[0][0];
    if (symbol === '?') this.ways *= 2;
    else if (symbol === '*' || symbol === '+') this.ways *= SERIAL_LENGTH;
    else {
      const least = Number(match[1]);
      const most = match[2] === undefined ? least : match[3] === '' ? SERIAL_LENGTH : Number(match[3]);
      if (least > SERIAL_LENGTH || most > SERIAL_LENGTH) return `must not repeat more than ${SERIAL_LENGTH} times`;
      this.ways *= Math.max(1, most - least + 1);
    }
    return undefined;
  }
}
