import { DOMImplementation, XMLSerializer, type Document, type Element } from '@xmldom/xmldom';
import { DMN_13, OWN } from './dmn-vocabulary.js';

type Attributes = Readonly<Record<string, string | undefined>>;

/** Writes elements of the interchange format; names that start with `own:` are ours. */
export class DmnXml {
  readonly document: Document;
  private readonly ids = new Set<string>();

  constructor() {
    this.document = new DOMImplementation().createDocument(DMN_13, 'definitions', null);
    this.root.setAttributeNS('http://www.w3.org/2000/xmlns/', 'xmlns:own', OWN);
  }

  get root(): Element {
    const root = this.document.documentElement;
    if (root === null) throw new Error('the document has lost its root');
    return root;
  }

  /** An element with attributes (those without a value are left out) and children; text stands for a text node. */
  element(name: string, attributes: Attributes = {}, ...children: readonly (Element | string)[]): Element {
    const made = this.document.createElementNS(name.startsWith('own:') ? OWN : DMN_13, name);
    this.attributes(made, attributes);
    for (const child of children)
      made.appendChild(typeof child === 'string' ? this.document.createTextNode(child) : child);
    return made;
  }

  attributes(element: Element, attributes: Attributes): void {
    for (const [name, value] of Object.entries(attributes)) {
      if (value === undefined) continue;
      if (name.startsWith('own:')) element.setAttributeNS(OWN, name, value);
      else element.setAttribute(name, value);
    }
  }

  /** An element whose one child is `text`, which is how this format writes cells and expressions. */
  spoken(name: string, text: string, attributes: Attributes = {}): Element {
    return this.element(name, attributes, this.element('text', {}, text));
  }

  /** An id that XML allows (NCName) and that nothing else here has, made from a name of ours. */
  id(kind: string, name: string): string {
    const base = `${kind}_${name.replaceAll(/[^\p{L}\p{N}_.-]+/gu, '_')}`;
    let id = base;
    for (let n = 2; this.ids.has(id); n += 1) id = `${base}_${n}`;
    this.ids.add(id);
    return id;
  }

  toString(): string {
    return `<?xml version="1.0" encoding="UTF-8"?>\n${indented(this.root, 0)}\n`;
  }
}

/** Elements on lines of their own, except those that hold text. */
function indented(element: Element, depth: number): string {
  const children = [...element.childNodes];
  if (children.some((child) => child.nodeType === 3)) return serialised(element);
  if (children.length === 0) return serialised(element);
  const shell = element.cloneNode(false) as Element;
  const open = serialised(shell).replace(/\/>$/, '>');
  const pad = '  '.repeat(depth + 1);
  const inner = children.map((child) => `${pad}${indented(child as Element, depth + 1)}`).join('\n');
  return `${open}\n${inner}\n${'  '.repeat(depth)}</${element.tagName}>`;
}

function serialised(element: Element): string {
  return new XMLSerializer().serializeToString(element);
}
