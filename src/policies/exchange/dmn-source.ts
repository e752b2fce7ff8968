import { DOMParser, ParseError, type Element } from '@xmldom/xmldom';
import { DMN_READ, OWN } from './dmn-vocabulary.js';

/** One thing in an imported file that cannot be taken over, with its place in the text. */
export interface DmnFault {
  /** Counted from 1. */
  readonly line: number;
  readonly column: number;
  /** Character range in the file, end exclusive. */
  readonly from: number;
  readonly to: number;
  readonly detail: string;
}

/** Longest file that is read, in characters: the largest table set that makes sense is far smaller. */
const LONGEST = 5_000_000;
/** Deepest nesting of elements; a decision table has six levels. */
const DEEPEST = 64;

/** A file being read: its elements, and what has been said about them so far. */
export class DmnSource {
  readonly faults: DmnFault[] = [];
  readonly notices: string[] = [];
  private lineStarts: number[] | undefined;

  constructor(private readonly text: string) {}

  /** The root element, or undefined with a fault where the text is no such file. Entities are never fetched or expanded. */
  root(): Element | undefined {
    if (this.text.length > LONGEST)
      return this.fail(0, `The file is longer than ${LONGEST} characters; split the policy.`);
    const type = this.text.search(/<!(?:DOCTYPE|ENTITY)/i);
    if (type >= 0)
      return this.fail(
        type,
        'The file declares a document type or entities. Export it again without; they are not read.',
      );
    if (deepest(this.text) > DEEPEST) return this.fail(0, `Elements are nested deeper than ${DEEPEST} levels.`);
    try {
      const parser = new DOMParser({
        onError: (level, message) => {
          if (level !== 'warning') throw new ParseError(message);
        },
      });
      const root = parser.parseFromString(this.text, 'text/xml').documentElement;
      if (root === null) return this.fail(0, 'The file is empty.');
      if (root.localName === 'definitions' && DMN_READ.includes(root.namespaceURI ?? '')) return root;
      this.refuse(
        root,
        'This is no decision model of DMN 1.2 to 1.5: its root must be "definitions" in one of their namespaces.',
      );
      return undefined;
    } catch (error) {
      const message = error instanceof Error ? error.message.split('\n')[0] : String(error);
      const at =
        error instanceof ParseError ? ((error.locator as { lineNumber?: number } | undefined)?.lineNumber ?? 1) : 1;
      return this.fail(this.starts()[at - 1] ?? 0, `The file is not well-formed XML: ${message}.`);
    }
  }

  refuse(element: Element, detail: string): void {
    const line = element.lineNumber ?? 1;
    const column = element.columnNumber ?? 1;
    const from = (this.starts()[line - 1] ?? 0) + column - 1;
    const close = this.text.indexOf('>', from);
    this.faults.push({ line, column, from, to: close < 0 ? this.text.length : close + 1, detail });
  }

  notice(element: Element, detail: string): void {
    this.notices.push(`Line ${element.lineNumber ?? 1}: ${detail}`);
  }

  /** Elements below one that are of the interchange format; each other one is a notice, nothing is passed over in silence. */
  children(element: Element): Element[] {
    return [...element.childNodes].flatMap((node) => {
      if (node.nodeType !== 1) return [];
      const child = node as Element;
      if (DMN_READ.includes(child.namespaceURI ?? '')) return [child];
      if (child.namespaceURI !== OWN)
        this.notice(child, `"${child.tagName}" belongs to another program and was left out.`);
      return [];
    });
  }

  /** Text of the `text` element below an element; undefined where there is none. */
  textOf(element: Element | undefined): string | undefined {
    const holder = element && this.children(element).find(({ localName }) => localName === 'text');
    return holder?.textContent?.trim();
  }

  private fail(from: number, detail: string): undefined {
    const starts = this.starts();
    const line = Math.max(1, starts.findLastIndex((start) => start <= from) + 1);
    this.faults.push({ line, column: from - (starts[line - 1] ?? 0) + 1, from, to: from, detail });
    return undefined;
  }

  private starts(): number[] {
    this.lineStarts ??= [0, ...[...this.text.matchAll(/\r\n|\n|\r/g)].map(({ index, 0: end }) => index + end.length)];
    return this.lineStarts;
  }
}

/** Our own elements inside the extension elements of one. */
export function ownElements(element: Element, name: string): Element[] {
  return [...element.childNodes].flatMap((node) => {
    if (node.nodeType !== 1 || (node as Element).localName !== 'extensionElements') return [];
    return [...node.childNodes].filter(
      (child): child is Element =>
        child.nodeType === 1 && (child as Element).namespaceURI === OWN && (child as Element).localName === name,
    );
  });
}

/** An attribute of ours; undefined where it is not there. */
export function own(element: Element, name: string): string | undefined {
  return element.hasAttributeNS(OWN, name) ? (element.getAttributeNS(OWN, name) ?? undefined) : undefined;
}

/** Greatest number of elements open at once, counted over tags without reading them; an upper bound is enough. */
function deepest(text: string): number {
  let depth = 0;
  let most = 0;
  for (const [tag] of text.matchAll(/<!--[\s\S]*?-->|<!\[CDATA\[[\s\S]*?\]\]>|<[^!?][^>]*>/g)) {
    if (tag.startsWith('<!')) continue;
    if (tag.startsWith('</')) depth -= 1;
    else if (!tag.endsWith('/>')) depth += 1;
    if (depth > most) most = depth;
  }
  return most;
}
