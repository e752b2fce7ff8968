import type { Element } from '@xmldom/xmldom';
import type { FactType } from '../policies.contract.js';
import { quotedList } from './dmn-vocabulary.js';
import { own, type DmnSource } from './dmn-source.js';

/** Types that a file declares, by name. */
export class DmnTypes {
  private readonly byName = new Map<string, Element>();

  constructor(private readonly source: DmnSource) {}

  add(definition: Element): void {
    this.byName.set(definition.getAttribute('name') ?? '', definition);
  }

  /** The type of ours that a reference stands for; undefined, with the reason said, where there is none. */
  resolve(reference: string | null, asked: Element): FactType | undefined {
    const name = (reference ?? '').replace(/^feel:/, '');
    const definition = this.byName.get(name);
    if (!definition) return this.base(name, asked);
    return this.defined(definition, asked, new Set());
  }

  private base(name: string, asked: Element): FactType | undefined {
    switch (name) {
      case 'string':
        return { type: 'text' };
      case 'number':
        return { type: 'decimal' };
      case 'boolean':
      case 'date':
        return { type: name };
    }
    const what = name === '' ? 'It has no type' : `Its type "${name}" is not taken over`;
    this.source.refuse(
      asked,
      `${what}; a policy knows text, numbers, true or false, and dates. Give it one of these types.`,
    );
    return undefined;
  }

  private defined(definition: Element, asked: Element, seen: ReadonlySet<Element>): FactType | undefined {
    const label = definition.getAttribute('name') ?? '';
    const parts = this.source.children(definition);
    const strange = parts.find(
      ({ localName }) => !['description', 'typeRef', 'allowedValues'].includes(localName ?? ''),
    );
    if (definition.getAttribute('isCollection') === 'true' || strange || seen.has(definition)) {
      const why = strange ? `holds "${strange.localName}"` : seen.has(definition) ? 'names itself' : 'is a list';
      this.source.refuse(strange ?? definition, `The type "${label}" ${why}; a fact of a policy is one single value.`);
      return undefined;
    }
    const reference =
      parts
        .find(({ localName }) => localName === 'typeRef')
        ?.textContent?.trim()
        .replace(/^feel:/, '') ?? '';
    const below = this.byName.get(reference);
    const base = below ? this.defined(below, asked, new Set([...seen, definition])) : this.base(reference, definition);
    if (!base) return undefined;
    const allowed = parts.find(({ localName }) => localName === 'allowedValues');
    const text = this.source.textOf(allowed);
    return { ...this.narrowed(ownType(definition, base), text, allowed ?? definition), ...ownFlags(definition) };
  }

  /** A type with the values that a file allows it. */
  narrowed(type: FactType, allowed: string | undefined, at: Element): FactType {
    if (allowed === undefined || allowed === '' || allowed === '-') return type;
    if (type.type === 'text' || type.type === 'enum') {
      const values = quotedList(allowed);
      if (values) return { ...flagsOf(type), type: 'enum', values };
    }
    if (type.type === 'integer' || type.type === 'decimal') {
      const limits = limitsOf(allowed);
      if (limits) return withLimits(type, limits);
    }
    this.source.refuse(
      at,
      `Allowed values "${allowed}" are not taken over; write "a", "b" for texts or [0..10] for numbers.`,
    );
    return type;
  }
}

function ownType(definition: Element, base: FactType): FactType {
  const type = own(definition, 'type');
  if (base.type !== 'decimal') return base;
  if (type === 'integer') return { type };
  const scale = own(definition, 'scale');
  return scale === undefined ? base : { ...base, scale: Number(scale) };
}

function ownFlags(definition: Element): { optional?: boolean; list?: boolean; ask?: string } {
  const ask = own(definition, 'ask');
  return {
    ...(own(definition, 'optional') === 'true' ? { optional: true } : {}),
    ...(own(definition, 'list') === 'true' ? { list: true } : {}),
    ...(ask === undefined ? {} : { ask }),
  };
}

function flagsOf({ optional, ask }: FactType): { optional?: boolean; ask?: string } {
  return { ...(optional === undefined ? {} : { optional }), ...(ask === undefined ? {} : { ask }) };
}

interface Limits {
  readonly min?: string;
  readonly max?: string;
}

function limitsOf(text: string): Limits | undefined {
  const number = String.raw`(-?\d+(?:\.\d+)?)`;
  const range = new RegExp(String.raw`^\[\s*${number}\s*\.\.\s*${number}\s*\]$`).exec(text);
  if (range) return { min: range[1] ?? '', max: range[2] ?? '' };
  const side = new RegExp(`^(>=|<=)\\s*${number}$`).exec(text);
  if (!side) return undefined;
  return side[1] === '>=' ? { min: side[2] ?? '' } : { max: side[2] ?? '' };
}

function withLimits(type: Extract<FactType, { type: 'integer' | 'decimal' }>, { min, max }: Limits): FactType {
  if (type.type === 'decimal')
    return { ...type, ...(min === undefined ? {} : { min }), ...(max === undefined ? {} : { max }) };
  return {
    ...type,
    ...(min === undefined ? {} : { min: Number(min) }),
    ...(max === undefined ? {} : { max: Number(max) }),
  };
}
