import { DOMParser, ParseError, type Element } from '@xmldom/xmldom';

/** Namespaces of decision models that mean the same to this reader: DMN 1.2 to 1.5. */
const MODELS: readonly string[] = [
  'http://www.omg.org/spec/DMN/20180521/MODEL/',
  'https://www.omg.org/spec/DMN/20191111/MODEL/',
  'https://www.omg.org/spec/DMN/20211108/MODEL/',
  'https://www.omg.org/spec/DMN/20230324/MODEL/',
];
const CASES = 'http://www.omg.org/spec/DMN/20160719/testcase';

/**
 * Root element of an XML text. Document types, and so entities of one's own, are refused; nothing is ever fetched.
 * @throws ParseError on what is no XML, Error on a document type
 */
export function rootOf(text: string): Element {
  if (/<!(?:DOCTYPE|ENTITY)/i.test(text)) throw new Error('The file declares a document type or entities.');
  const parser = new DOMParser({
    onError: (level, message) => {
      if (level !== 'warning') throw new ParseError(message);
    },
  });
  const root = parser.parseFromString(text, 'text/xml').documentElement;
  if (!root) throw new Error('The file is empty.');
  return root;
}

/** Child elements of the model or of the cases, in order; with a name, only those of it. */
export function children(element: Element, name?: string): Element[] {
  return [...element.childNodes].filter((node): node is Element => {
    if (node.nodeType !== 1) return false;
    const { namespaceURI, localName } = node as Element;
    const known = MODELS.includes(namespaceURI ?? '') || namespaceURI === CASES;
    return known && (name === undefined || localName === name);
  });
}

/** The first child element of a name. */
export function child(element: Element, name: string): Element | undefined {
  return children(element, name)[0];
}

/** Text of the `text` child of an element, or of the child named; undefined where there is none. */
export function textIn(element: Element | undefined, name = 'text'): string | undefined {
  return (element && child(element, name))?.textContent ?? undefined;
}

/** An attribute, undefined where it is not there. */
export function attribute(element: Element, name: string): string | undefined {
  return element.hasAttribute(name) ? (element.getAttribute(name) ?? undefined) : undefined;
}

/** All attributes called `name` at and below an element. */
export function namesBelow(element: Element, found: Set<string> = new Set()): Set<string> {
  const name = attribute(element, 'name');
  if (name !== undefined) found.add(name.replace(/\s+/g, ' ').trim());
  for (const inner of children(element)) namesBelow(inner, found);
  return found;
}
