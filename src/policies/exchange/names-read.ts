/**
 * Which known names some cells and expressions read. Names may hold spaces, so the longest that fits is taken; texts in
 * quotes are passed over. In the order of `known`.
 */
export function namesRead(texts: readonly string[], known: readonly string[]): string[] {
  const byLength = known.toSorted((a, b) => b.length - a.length);
  const read = new Set<string>();
  for (const text of new Set(texts)) {
    let rest = text.replaceAll(/"(?:[^"\\]|\\.)*"/g, ' ').replaceAll(/\s+/g, ' ');
    for (const name of byLength) {
      if (!rest.includes(name)) continue;
      const whole = new RegExp(String.raw`(?<![\p{L}\p{N}_])${escaped(name)}(?![\p{L}\p{N}_])`, 'gu');
      const without = rest.replaceAll(whole, '\u0000');
      if (without !== rest) read.add(name);
      rest = without;
    }
  }
  return known.filter((name) => read.has(name));
}

function escaped(text: string): string {
  return text.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);
}
