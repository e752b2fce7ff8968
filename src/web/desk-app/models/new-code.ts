/** Longest code that the format takes. */
const LONGEST = 80;

/** A code in kebab case for words that a person wrote, other than the codes that are taken. */
export function codeFor(words: string, taken: readonly string[]): string {
  const plain = words
    .normalize('NFD')
    .replaceAll(/\p{Mark}/gu, '')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^[-0-9]+|-+$/g, '');
  const code = plain.slice(0, LONGEST - 4).replace(/-+$/, '') || 'new';
  if (!taken.includes(code)) return code;
  let number = 2;
  while (taken.includes(`${code}-${number}`)) number += 1;
  return `${code}-${number}`;
}

/** Reads the words of a form by the names of its fields; a field that is not there is empty. */
export function wordsOf(form: FormData): (name: string) => string {
  return (name) => {
    const value = form.get(name);
    return typeof value === 'string' ? value.trim() : '';
  };
}
