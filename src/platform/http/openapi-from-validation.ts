import { createRequire } from 'node:module';
import { ApiProperty, ApiPropertyOptional, type ApiPropertyOptions } from '@nestjs/swagger';
import { getMetadataStorage } from 'class-validator';

// class-transformer keeps what @Type() said in a file that has no public name and no types.
const { defaultMetadataStorage } = createRequire(import.meta.url)('class-transformer/cjs/storage.js') as {
  readonly defaultMetadataStorage: {
    findTypeMetadata(target: NewableFunction, property: string): { typeFunction(): NewableFunction } | undefined;
  };
};

interface Rule {
  readonly name?: string;
  readonly type: string;
  readonly propertyName: string;
  readonly each: boolean;
  readonly constraints?: readonly unknown[];
}

const SWAGGER_PROPERTIES = 'swagger/apiModelPropertiesArray';
const done = new WeakSet<object>();

/**
 * Describes every checked class to the API document by its own validation rules, so that the two cannot differ. A property that
 * carries an explicit ApiProperty keeps it.
 */
export function describeFromValidation(): void {
  const storage = getMetadataStorage() as unknown as { validationMetadatas: Map<unknown, readonly Rule[]> };
  for (const [target, rules] of storage.validationMetadatas) {
    if (typeof target !== 'function' || done.has(target)) continue;
    done.add(target);
    describeClass(target, rules);
  }
}

function describeClass(target: NewableFunction, rules: readonly Rule[]): void {
  const prototype = target.prototype as object;
  const described = (Reflect.getMetadata(SWAGGER_PROPERTIES, prototype) as string[] | undefined) ?? [];
  for (const property of new Set(rules.map((rule) => rule.propertyName))) {
    if (described.includes(`:${property}`)) continue;
    const own = rules.filter((rule) => rule.propertyName === property);
    const optional = own.some((rule) => rule.type === 'conditionalValidation');
    const options = schemaOf(target, property, own);
    (optional ? ApiPropertyOptional(options) : ApiProperty(options))(prototype, property);
  }
}

function schemaOf(target: NewableFunction, property: string, rules: readonly Rule[]): ApiPropertyOptions {
  const nested = rules.some((rule) => rule.type === 'nestedValidation')
    ? defaultMetadataStorage.findTypeMetadata(target, property)?.typeFunction()
    : undefined;
  const list = rules.some((rule) => rule.each || rule.name === 'isArray') || designType(target, property) === Array;
  const inner = Object.assign({}, ...rules.map(rulePart)) as Record<string, unknown>;
  if (nested !== undefined) return { type: () => nested, isArray: list, ...listBounds(rules) };
  inner['type'] ??= typeName(designType(target, property), list);
  if (!list) return inner;
  return { type: 'array', items: inner, ...listBounds(rules) };
}

function designType(target: NewableFunction, property: string): unknown {
  return Reflect.getMetadata('design:type', target.prototype as object, property) as unknown;
}

function typeName(design: unknown, list: boolean): string {
  if (list) return 'string';
  if (design === Number) return 'number';
  if (design === Boolean) return 'boolean';
  return design === String ? 'string' : 'object';
}

function listBounds(rules: readonly Rule[]): Record<string, unknown> {
  const parts = rules.map((rule): Record<string, unknown> => {
    const bound = rule.constraints?.[0];
    if (rule.name === 'arrayMinSize') return { minItems: bound };
    if (rule.name === 'arrayMaxSize') return { maxItems: bound };
    if (rule.name === 'arrayUnique') return { uniqueItems: true };
    return {};
  });
  return Object.assign({}, ...parts) as Record<string, unknown>;
}

/** The part of a JSON Schema that one rule says. Rules without a counterpart say nothing. */
function rulePart(rule: Rule): Record<string, unknown> {
  const [first, second] = rule.constraints ?? [];
  switch (rule.name) {
    case 'isString':
      return { type: 'string' };
    case 'isInt':
      return { type: 'integer' };
    case 'isNumber':
      return { type: 'number' };
    case 'isBoolean':
      return { type: 'boolean' };
    case 'isObject':
      return { type: 'object', additionalProperties: true };
    case 'min':
      return { minimum: first };
    case 'max':
      return { maximum: first };
    case 'isLength':
      return { type: 'string', minLength: first, ...(second === undefined ? {} : { maxLength: second }) };
    case 'minLength':
      return { type: 'string', minLength: first };
    case 'maxLength':
      return { type: 'string', maxLength: first };
    case 'matches':
      return { type: 'string', ...(first instanceof RegExp ? { pattern: first.source } : {}) };
    case 'isUuid':
      return { type: 'string', format: 'uuid' };
    case 'isEmail':
      return { type: 'string', format: 'email' };
    case 'isIso8601':
    case 'isRfc3339':
      return { type: 'string', format: 'date-time' };
    case 'isIn':
      return { type: typeof (first as unknown[])[0], enum: first };
    default:
      return {};
  }
}
