import { cleanText } from './camera.js';

/** The few things that are read of an XMP packet (ISO 16684-1). Strings are as recorded. */
export interface XmpFacts {
  /** xmp:CreatorTool. */
  readonly creatorTool?: string;
  /** xmp:ModifyDate, ISO 8601. */
  readonly modified?: string;
  /** exif:DateTimeOriginal, else photoshop:DateCreated, else xmp:CreateDate; ISO 8601. */
  readonly created?: string;
  /** stEvt:softwareAgent of the editing history, each once, at most eight. */
  readonly agents: readonly string[];
}

/** Read at most; a packet of a camera has a few kilobytes, one of an editor with masks may have megabytes. */
export const XMP_BYTES = 256 * 1024;
const MOST_AGENTS = 8;

/**
 * Reads an XMP packet without building a document of it: no entity is expanded and nothing is fetched. Properties are found under
 * their customary prefixes, as attributes or as elements; a packet under other prefixes reads as empty.
 */
export function xmpFacts(packet: string): XmpFacts {
  const text = packet.slice(0, XMP_BYTES);
  const created = ['exif:DateTimeOriginal', 'photoshop:DateCreated', 'xmp:CreateDate']
    .map((name) => valuesOf(text, name)[0])
    .find((value) => value !== undefined);
  const [creatorTool] = valuesOf(text, 'xmp:CreatorTool');
  const [modified] = valuesOf(text, 'xmp:ModifyDate');
  const agents = [...new Set(valuesOf(text, 'stEvt:softwareAgent'))].slice(0, MOST_AGENTS);
  return { ...(creatorTool && { creatorTool }), ...(modified && { modified }), ...(created && { created }), agents };
}

/** Values of a property, each cleaned and at most 100 characters long. */
function valuesOf(text: string, name: string): string[] {
  const values: string[] = [];
  for (let at = text.indexOf(name); at !== -1 && values.length < 64; at = text.indexOf(name, at + name.length)) {
    const value = valueAt(text, at + name.length, text[at - 1] === '<');
    const cleaned = value === undefined ? undefined : cleanText(entities(value));
    if (cleaned !== undefined) values.push(cleaned);
  }
  return values;
}

function valueAt(text: string, from: number, isElement: boolean): string | undefined {
  const near = text.slice(from, from + 600);
  const match = isElement ? /^(?:\s[^<>]*)?>([^<]*)</.exec(near) : /^\s*=\s*(?:"([^"<]*)"|'([^'<]*)')/.exec(near);
  return match?.[1] ?? match?.[2];
}

const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

/** The five entities of XML itself; no others are known here. */
function entities(text: string): string {
  return text.replace(/&(amp|lt|gt|quot|apos);/g, (_all, name: string) => ENTITIES[name] ?? '');
}
