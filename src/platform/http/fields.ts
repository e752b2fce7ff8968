import { applyDecorators, type Type as Class } from '@nestjs/common';
import { ApiProperty } from '@nestjs/swagger';
import { Type } from 'class-transformer';
import {
  ArrayMaxSize,
  ArrayMinSize,
  IsArray,
  IsBoolean,
  IsIn,
  IsInt,
  IsNumber,
  IsObject,
  IsString,
  Matches,
  Max,
  MaxLength,
  Min,
  MinLength,
  ValidateBy,
  ValidateIf,
  ValidateNested,
  type ValidationOptions,
} from 'class-validator';
import { parseUuid } from '../../kernel/ids.js';

const KEEPABLE_TEXT = 'must not hold NUL or broken characters';
const KEEPABLE_JSON = 'must not be nested deeper than 64 levels or hold NUL or broken characters';

/** What every field says of itself in the API description. */
export interface FieldOptions {
  readonly description?: string;
  /** May be left out. `null` is not the same and is refused. */
  readonly optional?: boolean;
  readonly example?: unknown;
}

export interface TextOptions extends FieldOptions {
  readonly min?: number;
  readonly max: number;
  readonly pattern?: RegExp;
  /** What the pattern asks for, e.g. "must be a two-letter country". */
  readonly says?: string;
}

/** One line or more of text, all of whose characters the database can keep. */
export function TextField(options: TextOptions): PropertyDecorator {
  const { min = 1, max, pattern, says } = options;
  return field(
    options,
    { type: 'string', minLength: min, maxLength: max, ...(pattern && { pattern: pattern.source }) },
    [
      IsString(),
      MinLength(min),
      MaxLength(max),
      // oxlint-disable-next-line no-control-regex -- the NUL character is what is looked for
      Matches(/^[^\u0000]*$/u, { message: '$property must not hold a NUL character' }),
      ...(pattern ? [Matches(pattern, says === undefined ? undefined : { message: `$property ${says}` })] : []),
    ],
  );
}

export interface NumberOptions extends FieldOptions {
  readonly min: number;
  readonly max: number;
}

/** A whole number within bounds. */
export function WholeField(options: NumberOptions): PropertyDecorator {
  const { min, max } = options;
  return field(options, { type: 'integer', minimum: min, maximum: max }, [IsInt(), Min(min), Max(max)]);
}

/** Any finite number within bounds. */
export function NumberField(options: NumberOptions): PropertyDecorator {
  const { min, max } = options;
  const finite = IsNumber({ allowNaN: false, allowInfinity: false });
  return field(options, { type: 'number', minimum: min, maximum: max }, [finite, Min(min), Max(max)]);
}

/** An amount of at least 0 in minor units of the currency beside it. */
export function MinorField(options: FieldOptions = {}): PropertyDecorator {
  return WholeField({ ...options, min: 0, max: Number.MAX_SAFE_INTEGER });
}

/** True or false. */
export function YesNoField(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'boolean' }, [IsBoolean()]);
}

/** One word of a closed list. */
export function OneOfField(values: readonly string[], options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', enum: [...values] }, [IsIn(values)]);
}

/** RFC 3339 instant with an offset, e.g. "2026-03-02T14:05:00-06:00". */
export function InstantField(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date-time' }, [
    rule('isInstant', isInstant, 'must be a date and time with an offset, like 2026-03-02T14:05:00-06:00'),
  ]);
}

/** Calendar date, YYYY-MM-DD. */
export function DateField(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string', format: 'date' }, [
    rule('isDate', isCalendarDate, 'must be a date that exists, like 2026-03-02'),
  ]);
}

/** IANA time zone, e.g. "America/Chicago". */
export function ZoneField(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'string' }, [rule('isZone', isZone, 'must be an IANA time zone, like Europe/Berlin')]);
}

/** UUID (RFC 9562). */
export function UuidField(options: FieldOptions = {}): PropertyDecorator {
  const isUuid = (value: unknown) => typeof value === 'string' && parseUuid(value) !== undefined;
  return field(options, { type: 'string', format: 'uuid' }, [rule('isUuid', isUuid, 'must be a UUID')]);
}

// The describer knows a function that gives a class from the class itself by its name, which has to be `type`.

/** One nested object of a class. */
export function NestedField(of: () => Class, options: FieldOptions = {}): PropertyDecorator {
  const nested = [IsObject(), ValidateNested(), Type(of)];
  return applyDecorators(documented(options, { type: () => of() }), ...presence(options), ...nested);
}

export interface ListOptions extends FieldOptions {
  readonly min?: number;
  readonly max: number;
}

/** A list of nested objects of a class. */
export function ListField(of: () => Class, options: ListOptions): PropertyDecorator {
  const { min = 0, max } = options;
  const nested = [IsArray(), ArrayMinSize(min), ArrayMaxSize(max), ValidateNested({ each: true }), Type(of)];
  const schema = { type: () => of(), isArray: true, minItems: min, maxItems: max };
  return applyDecorators(documented(options, schema), ...presence(options), ...nested);
}

/** A list of texts. */
export function TextListField(options: ListOptions & { readonly length: number }): PropertyDecorator {
  const { min = 0, max, length } = options;
  const each: ValidationOptions = { each: true };
  return field(options, { type: 'array', items: { type: 'string', maxLength: length }, minItems: min, maxItems: max }, [
    IsArray(),
    ArrayMinSize(min),
    ArrayMaxSize(max),
    IsString(each),
    MinLength(1, each),
    MaxLength(length, each),
    rule('isKeepable', isKeepableJson, KEEPABLE_TEXT),
  ]);
}

/** A JSON object that a checker of its own reads, such as a policy document. At most 64 levels deep. */
export function DocumentField(options: FieldOptions = {}): PropertyDecorator {
  return field(options, { type: 'object', additionalProperties: true }, [
    IsObject(),
    rule('isKeepable', isKeepableJson, KEEPABLE_JSON),
  ]);
}

/** A JSON value whose type depends on something else, such as the answer to a checklist item. */
export function ValueField(schemas: readonly object[], options: FieldOptions = {}): PropertyDecorator {
  return field(options, { oneOf: [...schemas] }, [
    rule('isThere', (value) => value !== undefined, 'must be there; null where nothing was checked'),
    rule('isKeepable', isKeepableJson, KEEPABLE_JSON),
  ]);
}

/** RFC 3339 date and time with an offset that exists on the calendar. */
export function isInstant(value: unknown): value is string {
  if (typeof value !== 'string' || !/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)$/.test(value)) {
    return false;
  }
  return succeeds(() => Temporal.Instant.from(value));
}

/** YYYY-MM-DD that exists on the calendar. */
export function isCalendarDate(value: unknown): value is string {
  return typeof value === 'string' && /^\d{4}-\d\d-\d\d$/.test(value) && succeeds(() => Temporal.PlainDate.from(value));
}

/** IANA time zone; offsets such as "+01:00" are none. */
export function isZone(value: unknown): value is string {
  return (
    typeof value === 'string' &&
    /^[A-Za-z][A-Za-z0-9_+\-/]{0,63}$/.test(value) &&
    succeeds(() => new Intl.DateTimeFormat('en', { timeZone: value }))
  );
}

/** Levels of nesting that a kept JSON value may have; far more than any document of ours needs. */
const DEEPEST = 64;

/** Whether the database can keep a JSON value as it is, and recursion over it is safe. */
export function isKeepableJson(value: unknown, levels = DEEPEST): boolean {
  if (typeof value === 'string') return isKeepableText(value);
  if (typeof value !== 'object' || value === null) return true;
  if (levels === 0) return false;
  return Object.entries(value).every(([name, inner]) => isKeepableText(name) && isKeepableJson(inner, levels - 1));
}

/** NUL cannot be kept in text, half a surrogate pair not in JSON. */
function isKeepableText(text: string): boolean {
  return !text.includes('\u0000') && text.isWellFormed();
}

function succeeds(attempt: () => unknown): boolean {
  try {
    attempt();
    return true;
  } catch {
    return false;
  }
}

function rule(name: string, validate: (value: unknown) => boolean, says: string): PropertyDecorator {
  return ValidateBy({
    name,
    validator: { validate: (value) => validate(value), defaultMessage: () => `$property ${says}` },
  });
}

function field(options: FieldOptions, schema: object, rules: readonly PropertyDecorator[]): PropertyDecorator {
  return applyDecorators(documented(options, schema), ...presence(options), ...rules);
}

function documented(options: FieldOptions, schema: object): PropertyDecorator {
  const { description, optional, example } = options;
  const property: object = {
    ...schema,
    required: optional !== true,
    ...(description === undefined ? {} : { description }),
    ...(example === undefined ? {} : { example }),
  };
  return ApiProperty(property);
}

function presence(options: FieldOptions): PropertyDecorator[] {
  return options.optional === true ? [ValidateIf((_object, value) => value !== undefined)] : [];
}
