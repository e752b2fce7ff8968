import type { Explanation } from '../../../diagnosis/diagnosis.contract.js';
import { ORIGINS, type Component, type Origin } from '../../../kernel/vocabulary.js';
import { sentenceCase } from '../../domain/trade-words.js';

export const COMPONENT_WORDS: Readonly<Record<Component, string>> = {
  carton: 'Carton',
  frame: 'Frame',
  leg: 'Leg',
  motor: 'Motor',
  electronics: 'Electronics',
};

export const ORIGIN_OPTIONS: readonly (readonly [Origin, string])[] = ORIGINS.map((each) => [each, sentenceCase(each)]);

export const SEVERITY_OPTIONS: readonly (readonly [Explanation['severity'], string])[] = [
  ['cosmetic', 'Only looks'],
  ['functional', 'No longer works as promised'],
  ['unsafe', 'May hurt someone'],
  ['none', 'No damage'],
];
