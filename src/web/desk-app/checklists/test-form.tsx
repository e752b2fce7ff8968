import type { ReactNode } from 'react';
import type { AnswerKind, AnswerTest } from '../../../inspections/inspections.contract.js';
import { COMPONENTS, type Component } from '../../../kernel/vocabulary.js';
import { withValue } from '../parts/document-edits.js';
import { useChecklistEditing } from './checklist-editing.js';
import { faultsBelow } from '../parts/editing.js';
import { NumberAt } from '../parts/fields-at.js';

type Kind = 'is' | 'isNot' | 'below' | 'above' | 'out' | 'within' | 'short' | 'whole' | 'other' | 'same';

const SAYS: Readonly<Record<Kind, string>> = {
  is: 'is one of these',
  isNot: 'is given, and is none of these',
  below: 'is below',
  above: 'is above',
  out: 'is outside its tolerance',
  within: 'is within its tolerance',
  short: 'is short of pieces',
  whole: 'has every piece',
  other: 'is not the number of the visit',
  same: 'is the number of the visit',
};

/** The tests that an answer can pass. */
function kindsFor(answer: AnswerKind | undefined): readonly Kind[] {
  switch (answer?.type) {
    case 'yes-no':
    case 'choice':
      return ['is', 'isNot'];
    case 'number':
      return answer.tolerance === undefined ? ['below', 'above'] : ['below', 'above', 'out', 'within'];
    case 'count':
      return ['short', 'whole'];
    case 'scan':
      return ['other', 'same'];
    default:
      return [];
  }
}

/** Whether an answer of this kind can be tested at all. */
export function isTestable(answer: AnswerKind): boolean {
  return kindsFor(answer).length > 0;
}

/** The test that a new condition begins with. */
export function firstTest(answer: AnswerKind | undefined): AnswerTest {
  return testOf(kindsFor(answer)[0] ?? 'is', answer);
}

function kindOf(test: AnswerTest): Kind {
  if ('is' in test) return 'is';
  if ('isNot' in test) return 'isNot';
  if ('below' in test) return 'below';
  if ('above' in test) return 'above';
  if ('outOfTolerance' in test) return test.outOfTolerance ? 'out' : 'within';
  if ('short' in test) return test.short ? 'short' : 'whole';
  return test.mismatch ? 'other' : 'same';
}

function testOf(kind: Kind, answer: AnswerKind | undefined, before?: AnswerTest): AnswerTest {
  const listed =
    before !== undefined && 'is' in before
      ? before.is
      : before !== undefined && 'isNot' in before
        ? before.isNot
        : undefined;
  const list =
    listed ??
    choicesOf(answer)
      .slice(0, 1)
      .map(([id]) => id);
  switch (kind) {
    case 'is':
      return { is: list };
    case 'isNot':
      return { isNot: list };
    case 'below':
      return { below: answer?.type === 'number' ? answer.max : 0 };
    case 'above':
      return { above: answer?.type === 'number' ? answer.min : 0 };
    case 'out':
    case 'within':
      return { outOfTolerance: kind === 'out' };
    case 'short':
    case 'whole':
      return { short: kind === 'short' };
    case 'other':
    case 'same':
      return { mismatch: kind === 'other' };
  }
}

function choicesOf(answer: AnswerKind | undefined): readonly (readonly [id: string, says: string])[] {
  if (answer?.type === 'choice')
    return answer.choices.map(({ id, says }) => [id, says.en === '' ? id : says.en] as const);
  return [
    ['yes', 'Yes'],
    ['no', 'No'],
  ];
}

interface TestFormProps {
  /** JSON Pointer of the test. */
  readonly at: string;
  readonly test: AnswerTest;
  /** How the tested item is answered; undefined where it is not there. */
  readonly answer: AnswerKind | undefined;
  /** What is tested, as the beginning of a sentence: "The answer". */
  readonly subject: string;
}

/** A test of an answer, in words: what it must be, and the values that count. */
export function TestForm({ at, test, answer, subject }: TestFormProps): ReactNode {
  const { edit, faults } = useChecklistEditing();
  const wrong = faultsBelow(faults, at);
  const now = kindOf(test);
  const offered = kindsFor(answer);
  const kinds = offered.includes(now) ? offered : [now, ...offered];
  const set = (next: AnswerTest): void => edit((draft) => withValue(draft, at, next));
  return (
    <div className="test" id={at} tabIndex={-1}>
      <div className="field short">
        <label htmlFor={`${at}-kind`}>{subject}</label>
        <select
          id={`${at}-kind`}
          value={now}
          aria-describedby={wrong.length > 0 ? `${at}-wrong` : undefined}
          onChange={({ currentTarget }) => set(testOf(currentTarget.value as Kind, answer, test))}
        >
          {kinds.map((kind) => (
            <option key={kind} value={kind}>
              {SAYS[kind]}
            </option>
          ))}
        </select>
      </div>
      {'is' in test || 'isNot' in test ? (
        <Ids
          answer={answer}
          ids={'is' in test ? test.is : test.isNot}
          onChange={(ids) => set('is' in test ? { is: ids } : { isNot: ids })}
        />
      ) : null}
      {'below' in test ? <NumberAt at={`${at}/below`} label="Number" /> : null}
      {'above' in test ? <NumberAt at={`${at}/above`} label="Number" /> : null}
      {'short' in test ? <OfWhichParts at={at} test={test} set={set} /> : null}
      {wrong.length === 0 ? null : (
        <span className="wrong" id={`${at}-wrong`}>
          {wrong.map(({ detail }) => detail).join(' ')}
        </span>
      )}
    </div>
  );
}

interface OfWhichPartsProps {
  readonly at: string;
  readonly test: Extract<AnswerTest, { readonly short: boolean }>;
  readonly set: (test: AnswerTest) => void;
}

function OfWhichParts({ at, test, set }: OfWhichPartsProps): ReactNode {
  return (
    <div className="field short">
      <label htmlFor={`${at}-of`}>Of which parts</label>
      <select
        id={`${at}-of`}
        value={test.component ?? ''}
        onChange={({ currentTarget }) =>
          set(
            currentTarget.value === ''
              ? { short: test.short }
              : { short: test.short, component: currentTarget.value as Component },
          )
        }
      >
        <option value="">Any</option>
        {COMPONENTS.map((component) => (
          <option key={component} value={component}>
            {component}
          </option>
        ))}
      </select>
    </div>
  );
}

function Ids(props: {
  readonly answer: AnswerKind | undefined;
  readonly ids: readonly string[];
  readonly onChange: (ids: readonly string[]) => void;
}): ReactNode {
  const { answer, ids, onChange } = props;
  const offered = choicesOf(answer);
  // An id that is no answer any more is shown, so that it can be taken out.
  const gone = ids
    .filter((id) => !offered.some(([each]) => each === id))
    .map((id) => [id, `${id} (no answer here)`] as const);
  return (
    <fieldset>
      <legend className="away">Answers that count</legend>
      <div className="ticks">
        {[...offered, ...gone].map(([id, says]) => (
          <label className="pick" key={id}>
            <input
              type="checkbox"
              checked={ids.includes(id)}
              onChange={({ currentTarget }) =>
                onChange(currentTarget.checked ? [...ids, id] : ids.filter((each) => each !== id))
              }
            />
            {says}
          </label>
        ))}
      </div>
    </fieldset>
  );
}
