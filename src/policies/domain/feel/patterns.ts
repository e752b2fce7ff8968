/**
 * Regular expressions of XPath 2.0 (which FEEL's `matches`, `replace` and `split` build on) as those of JavaScript. Only the wide
 * dialect has them: some patterns take time without end, so policies may not use any.
 */

/** The pattern compiled, or undefined where it or its flags mean nothing. @param extra flags of JavaScript to add */
export function patternOf(pattern: string, flags: string, extra = ''): RegExp | undefined {
  if (/[^smixq]/.test(flags)) return undefined;
  const source = flags.includes('q') ? literal(pattern) : translated(flags.includes('x') ? unspaced(pattern) : pattern);
  if (source === undefined) return undefined;
  const kept = ['s', 'm', 'i'].filter((flag) => flags.includes(flag)).join('');
  try {
    return new RegExp(source, `${kept}${extra}v`);
  } catch {
    return undefined;
  }
}

/** `$0` is the whole match, `\$` a dollar; JavaScript writes `$&` and `$$`. */
export function replacementOf(text: string): string {
  return text.replace(/\\([\\$])|\$(\d)/g, (_, escaped?: string, group?: string) => {
    if (escaped !== undefined) return escaped === '$' ? '$$' : escaped;
    return group === '0' ? '$&' : `$${group}`;
  });
}

function literal(text: string): string {
  return text.replace(/[\\^$.*+?()[\]{}|/-]/g, String.raw`\$&`);
}

/** Without the white space that flag x takes out, which in classes stands. */
function unspaced(pattern: string): string {
  return pattern
    .replace(/\[(?:\\.|[^\]\\])*\]|\\.|\s+/gs, (part) => (/^\s/.test(part) ? '' : part))
    .replace(/\\\s+/g, '\\');
}

/**
 * Class subtraction `[A-Z-[OI]]` becomes `[[A-Z]--[OI]]`; block names become ranges; a reference back to a group that is not
 * closed before it, or that stands in a class, is a fault.
 */
function translated(pattern: string): string | undefined {
  let out = '';
  let groups = 0;
  let depth = 0;
  for (let i = 0; i < pattern.length; i += 1) {
    const char = pattern.charAt(i);
    if (char === '\\') {
      const escape = translatedEscape(pattern.slice(i), groups, depth > 0);
      if (!escape) return undefined;
      out += escape.text;
      i += escape.length - 1;
    } else if (char === '[') {
      if (depth > 0 && !out.endsWith('--')) return undefined;
      const negated = pattern.charAt(i + 1) === '^';
      // The set before a subtraction is put in brackets of its own, as `--` wants one set on each side.
      out += subtracts(pattern.slice(i)) ? (negated ? '[^[' : '[[') : negated ? '[^' : '[';
      if (negated) i += 1;
      depth += 1;
    } else if (char === ']' && depth > 0) {
      out += char;
      depth -= 1;
    } else if (depth > 0 && char === '-' && pattern.charAt(i + 1) === '[') {
      out += ']--';
    } else {
      if (char === '(' && depth === 0 && pattern.charAt(i + 1) !== '?') groups += 1;
      out += depth > 0 && '(){}/|&!#%,:;<=>@`~.-'.includes(char) ? inClass(pattern, i) : char;
    }
  }
  return out;
}

/** A character inside a class: the newer classes of JavaScript want most signs escaped; a hyphen at an end is itself. */
function inClass(pattern: string, i: number): string {
  const char = pattern.charAt(i);
  if (char !== '-') return `\\${char}`;
  const atEnd =
    pattern.charAt(i - 1) === '[' || pattern.charAt(i + 1) === ']' || /^\[?[^\]]-.-/.test(pattern.slice(i - 3, i + 1));
  return atEnd ? '\\-' : '-';
}

function subtracts(from: string): boolean {
  return /^\[(?:\\.|[^\]\\[])*-\[/.test(from);
}

const BLOCKS: Readonly<Record<string, string>> = { IsBasicLatin: String.raw`\u0000-\u007F` };

function translatedEscape(
  from: string,
  groups: number,
  inside: boolean,
): { readonly text: string; readonly length: number } | undefined {
  const block = /^\\([pP])\{([^}]*)\}/.exec(from);
  if (block) {
    const range = BLOCKS[block[2] ?? ''];
    if (range === undefined) return { text: block[0], length: block[0].length };
    return { text: `[${block[1] === 'P' ? '^' : ''}${range}]`, length: block[0].length };
  }
  const next = from.charAt(1);
  if (/\d/.test(next))
    return inside || Number(next) === 0 || Number(next) > groups ? undefined : { text: `\\${next}`, length: 2 };
  return { text: `\\${next}`, length: 2 };
}
