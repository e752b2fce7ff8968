import { COMPONENTS, FAMILIES, ORIGINS } from '../../kernel/vocabulary.js';
import type { Shape } from '../../kernel/shape.js';
import { exactly, fields, kebabId, listOf, mapOf, number, oneOf, text, words } from '../../kernel/shape.js';

const sentence = text(400);
/** Certainty cannot be taken back by any evidence, so 0 and 1 are refused. */
const likelihood = number({ min: 0, max: 1, open: true });
const prior = number({ min: 0, max: 1e9, open: true });

const learntFrom = (was: Shape): Shape =>
  fields(
    { was, claims: number({ min: 1, max: 1e15, whole: true }) },
    { times: number({ min: 0, max: 1e15, whole: true }) },
  );

/** The form of an evidence model document: fields, types and sizes. What the ids mean is checked afterwards. */
export const evidenceModelShape: Shape = fields({
  format: exactly('evidence-model/1'),
  id: kebabId,
  version: number({ min: 1, max: 1_000_000, whole: true }),
  family: oneOf(FAMILIES),
  title: sentence,
  basis: sentence,
  subjects: listOf(fields({ id: kebabId, title: words(400), opensOn: listOf(kebabId, { min: 1, max: 500 }) }), {
    min: 1,
    max: 20,
  }),
  explanations: listOf(
    fields(
      {
        id: kebabId,
        subject: kebabId,
        component: oneOf(COMPONENTS),
        fault: sentence,
        origin: oneOf(ORIGINS),
        severity: oneOf(['cosmetic', 'functional', 'unsafe', 'none']),
        prior,
        grounds: sentence,
      },
      { learnt: learntFrom(prior) },
    ),
    { min: 2, max: 500 },
  ),
  observations: listOf(
    fields(
      {
        id: kebabId,
        says: sentence,
        check: words(400),
        item: kebabId,
        effortSeconds: number({ min: 1, max: 86_400 }),
        likelihoods: mapOf(likelihood),
        otherwise: mapOf(likelihood),
        grounds: sentence,
      },
      { group: kebabId, learnt: mapOf(learntFrom(likelihood)) },
    ),
    { min: 1, max: 1000 },
  ),
});
