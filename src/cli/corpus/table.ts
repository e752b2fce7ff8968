/** One measurement as a table for people, in Markdown, with a sentence before it. */
export interface Measurement {
  readonly title: string;
  readonly says: string;
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** '3 of 9 (33 %)'. */
export function share(count: number, of: number): string {
  return of === 0 ? '0 of 0' : `${count} of ${of} (${Math.round((100 * count) / of)} %)`;
}

export function asMarkdown({ title, says, head, rows }: Measurement): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [`### ${title}`, '', says, '', line(head), line(head.map(() => '---')), ...rows.map(line), ''].join('\n');
}
