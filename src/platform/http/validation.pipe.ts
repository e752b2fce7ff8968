import { ValidationPipe, type ArgumentMetadata, type PipeTransform } from '@nestjs/common';
import type { ValidationError } from 'class-validator';
import { pointer, type Fault } from '../../kernel/outcome.js';
import { Invalid } from './problems.js';

/**
 * Checks bodies and queries against their classes: fields nobody asked for are refused, every fault is told at once with a JSON
 * Pointer. Text is turned into numbers only in queries, where everything arrives as text; a body must be right as it is.
 */
export class EdgeValidation implements PipeTransform {
  private readonly body = pipe(false);
  private readonly query = pipe(true);

  async transform(value: unknown, metadata: ArgumentMetadata): Promise<unknown> {
    if (metadata.type === 'custom' || metadata.type === 'param') return value;
    if (metadata.type === 'query') return this.query.transform(value, metadata);
    if (isPlainClass(metadata.metatype) && !isObject(value)) {
      throw new Invalid([{ pointer: '#', detail: 'The body must be a JSON object.' }]);
    }
    return this.body.transform(value, metadata);
  }
}

function pipe(implicit: boolean): ValidationPipe {
  return new ValidationPipe({
    whitelist: true,
    forbidNonWhitelisted: true,
    forbidUnknownValues: true,
    transform: true,
    transformOptions: { enableImplicitConversion: implicit, exposeUnsetFields: false },
    validationError: { target: false, value: false },
    stopAtFirstError: false,
    exceptionFactory: (errors) => new Invalid(faultsOf(errors)),
  });
}

/** Faults of a validation, in the order of the fields; nested fields by their full pointer. */
export function faultsOf(errors: readonly ValidationError[], base = '#'): Fault[] {
  return errors.flatMap((error) => {
    const at = pointer(base, error.property);
    const own = Object.entries(error.constraints ?? {}).map(([kind, message]) => ({
      pointer: at,
      detail: sentence(kind, message, error.property),
    }));
    return [...own, ...faultsOf(error.children ?? [], at)];
  });
}

function sentence(kind: string, message: string, property: string): string {
  if (kind === 'whitelistValidation') return `"${property}" is not a field here. Check its spelling or leave it out.`;
  if (kind === 'nestedValidation' || kind === 'unknownValue')
    return `"${property}" must be an object or a list of objects.`;
  const plain = message.replace(/^each value in (\S+)/, 'each entry of $1');
  return `${plain.charAt(0).toUpperCase()}${plain.slice(1)}${plain.endsWith('.') ? '' : '.'}`;
}

function isPlainClass(metatype: ArgumentMetadata['metatype']): boolean {
  return metatype !== undefined && ![String, Number, Boolean, Array, Object].includes(metatype as never);
}

function isObject(value: unknown): boolean {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
