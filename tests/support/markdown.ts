/** Contents of the fenced code blocks of a language, in order. */
export function fencedBlocks(markdown: string, language: string): string[] {
  return [...markdown.matchAll(/^```(\w*)\n([\s\S]*?)^```$/gm)].flatMap(([, named, body = '']) =>
    named === language ? [body] : [],
  );
}

/** Targets of links and pictures that lead to files of the project or to headings of the page, outside code. */
export function linksOf(markdown: string): string[] {
  const prose = markdown.replace(/^```[\s\S]*?^```$/gm, '').replace(/`[^`\n]*`/g, '');
  return [...prose.matchAll(/\]\(([^)\s]+)\)/g)]
    .map(([, target = '']) => decodeURI(target))
    .filter((target) => !/^[a-z]+:/.test(target));
}

/** Anchors of a page's headings: lower case, blanks as hyphens, punctuation left out (the way that repository hosts make them). */
export function headingAnchors(markdown: string): string[] {
  const prose = markdown.replace(/^```[\s\S]*?^```$/gm, '');
  return [...prose.matchAll(/^#{1,6} (.+)$/gm)].map(([, words = '']) =>
    words
      .toLowerCase()
      .replace(/[^\p{L}\p{N} _-]/gu, '')
      .replaceAll(' ', '-'),
  );
}
