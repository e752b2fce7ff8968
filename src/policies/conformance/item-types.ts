import type { Element } from '@xmldom/xmldom';
import { parseCell } from '../domain/cell-parser.js';
import { FeelFunction, isContext, isList, type FeelValue } from '../domain/feel/kinds.js';
import { fitType } from '../domain/feel/type-fit.js';
import { compileCell, type RunCell } from '../domain/run-cell.js';
import { attribute, child, children, textIn } from './elements.js';

/** A type that a model declares: a list, parts, a function, or another type with fewer values. */
interface ItemType {
  readonly collection: boolean;
  readonly parts: ReadonlyMap<string, ItemType> | undefined;
  readonly base: string | undefined;
  readonly isFunction: boolean;
  readonly allowed: RunCell | undefined;
}

/** The types of one model. */
export class ItemTypes {
  private readonly byName = new Map<string, ItemType>();

  constructor(definitions: Element) {
    for (const item of children(definitions, 'itemDefinition')) {
      this.byName.set(attribute(item, 'name') ?? '', itemType(item));
    }
  }

  /** The value as a named type takes it; null where it does not fit. Without a name every value fits. */
  fit(value: FeelValue, typeName: string | undefined): FeelValue {
    if (typeName === undefined || value === null) return value;
    const declared = this.declared(typeName);
    if (declared) return this.fitItem(value, declared) ?? this.fitOne(value, declared);
    return fitType(value, { name: plain(typeName) });
  }

  private declared(name: string): ItemType | undefined {
    return this.byName.get(name) ?? this.byName.get(plain(name));
  }

  /** A list of one where its item is wanted. */
  private fitOne(value: FeelValue, type: ItemType): FeelValue {
    const only = isList(value) && value.length === 1 ? value[0] : undefined;
    return only === undefined || only === null ? null : this.fitItem(only, type);
  }

  private fitItem(value: FeelValue, type: ItemType): FeelValue {
    if (!type.collection) return this.fitSingle(value, type);
    const single = { ...type, collection: false };
    const items = (isList(value) ? value : [value]).map((item) =>
      item === null ? null : this.fitSingle(item, single),
    );
    const given = isList(value) ? value : [value];
    return items.every((item, i) => item !== null || given[i] === null) ? items : null;
  }

  private fitSingle(value: FeelValue, type: ItemType): FeelValue {
    if (type.isFunction) return value instanceof FeelFunction ? value : null;
    const fitted = type.parts ? this.fitParts(value, type.parts) : this.fit(value, type.base);
    if (fitted === null || !type.allowed) return fitted;
    const values = isList(fitted) ? fitted : [fitted];
    return values.every((item) => type.allowed?.(item, () => null) === true) ? fitted : null;
  }

  private fitParts(value: FeelValue, parts: ReadonlyMap<string, ItemType>): FeelValue {
    if (!isContext(value)) return null;
    const fitted = new Map(value);
    for (const [name, type] of parts) {
      const part = value.get(name);
      if (part === undefined) return null;
      const inside = part === null ? null : (this.fitItem(part, type) ?? this.fitOne(part, type));
      if (inside === null && part !== null) return null;
      fitted.set(name, inside);
    }
    return fitted;
  }
}

function itemType(item: Element): ItemType {
  const parts = children(item, 'itemComponent');
  const allowed = textIn(child(item, 'allowedValues'));
  return {
    collection: attribute(item, 'isCollection') === 'true',
    parts: parts.length > 0 ? new Map(parts.map((part) => [attribute(part, 'name') ?? '', itemType(part)])) : undefined,
    base: child(item, 'typeRef')?.textContent?.trim(),
    isFunction: child(item, 'functionItem') !== undefined,
    allowed: allowed === undefined ? undefined : compileCell(parseCell(allowed, { names: new Set(), dialect: 'wide' })),
  };
}

/** A name without the prefix of its namespace. */
function plain(name: string): string {
  return name.replace(/^[\w.-]+:(?=\S)/, '');
}
