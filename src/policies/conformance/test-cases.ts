import type { Element } from '@xmldom/xmldom';
import { equal } from '../domain/feel/compare.js';
import { Decimal, isDecimal } from '../domain/feel/decimal.js';
import { isContext, isList, type FeelValue } from '../domain/feel/kinds.js';
import { readClock, readDay, readDuration, readMoment } from '../domain/feel/read-temporal.js';
import { Clock } from '../domain/feel/temporal.js';
import { textOf } from '../domain/feel/value-text.js';
import { attribute, child, children, rootOf } from './elements.js';

const SCHEMA_INSTANCE = 'http://www.w3.org/2001/XMLSchema-instance';
/** Absolute difference that the official runners of the conformance cases accept between numbers. */
export const TOLERANCE = 1e-8;

/** One result that a case expects. */
export interface ExpectedResult {
  /** Case and decision. */
  readonly name: string;
  readonly decision: string;
  /** Decision service that is called, where it is not the decision itself. */
  readonly service: string | undefined;
  readonly inputs: ReadonlyMap<string, FeelValue>;
  readonly expected: FeelValue;
}

/** A file of test cases: the model it is about, and what it expects. @throws Error on a text that is no such file */
export function readTestCases(text: string): { readonly model: string; readonly results: readonly ExpectedResult[] } {
  const root = rootOf(text);
  const results = children(root, 'testCase').flatMap((testCase, at) => {
    const inputs = new Map(
      children(testCase, 'inputNode').map((node) => [attribute(node, 'name') ?? '', valueOf(node)]),
    );
    return children(testCase, 'resultNode').map((node): ExpectedResult => {
      const decision = attribute(node, 'name') ?? '';
      const expected = child(node, 'expected');
      return {
        name: `${attribute(testCase, 'id') ?? at + 1} ${decision}`,
        decision,
        service: attribute(testCase, 'invocableName'),
        inputs,
        expected: expected ? valueOf(expected) : null,
      };
    });
  });
  return { model: child(root, 'modelName')?.textContent?.trim() ?? '', results };
}

/** The value inside an input, expected value, item or component. */
function valueOf(element: Element): FeelValue {
  const list = child(element, 'list');
  if (list) return isNil(list) ? null : children(list, 'item').map(valueOf);
  const components = children(element, 'component');
  if (components.length > 0) {
    return new Map(components.map((part) => [attribute(part, 'name') ?? '', isNil(part) ? null : valueOf(part)]));
  }
  const value = child(element, 'value');
  return value && !isNil(value) ? simpleValue(value) : null;
}

function isNil(element: Element): boolean {
  return element.getAttributeNS(SCHEMA_INSTANCE, 'nil') === 'true';
}

function simpleValue(element: Element): FeelValue {
  const text = element.textContent ?? '';
  const type = element.getAttributeNS(SCHEMA_INSTANCE, 'type')?.replace(/^\w+:/, '');
  switch (type) {
    case 'boolean':
      return text.trim() === 'true';
    case 'decimal':
    case 'double':
    case 'integer':
    case 'long':
      return new Decimal(text.trim());
    case 'date':
      return readDay(text.trim()) ?? null;
    case 'time':
      return readClock(text.trim()) ?? null;
    case 'dateTime':
      return readMoment(text.trim()) ?? null;
    case 'duration':
      return readDuration(text.trim()) ?? null;
    default:
      return text;
  }
}

/** Whether a value is what a case expects; numbers may differ by the tolerance of the official runners. */
export function agrees(actual: FeelValue, expected: FeelValue): boolean {
  if (isDecimal(expected) && isDecimal(actual)) return actual.minus(expected).abs().lessThan(TOLERANCE);
  if (isList(expected)) {
    return (
      isList(actual) &&
      actual.length === expected.length &&
      expected.every((item, i) => agrees(actual[i] ?? null, item))
    );
  }
  if (isContext(expected)) {
    return (
      isContext(actual) &&
      actual.size === expected.size &&
      [...expected].every(([name, item]) => agrees(actual.get(name) ?? null, item))
    );
  }
  return equal(actual, expected) === true || isWrittenAlike(actual, expected);
}

/** Times in named zones that are written alike; without a day they have no order. */
function isWrittenAlike(actual: FeelValue, expected: FeelValue): boolean {
  return actual instanceof Clock && expected instanceof Clock && textOf(actual) === textOf(expected);
}
