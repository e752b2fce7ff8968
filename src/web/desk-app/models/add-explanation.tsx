import { useRef, useState, type ReactNode } from 'react';
import { COMPONENTS, type Component, type Origin } from '../../../kernel/vocabulary.js';
import type { Explanation } from '../../../diagnosis/diagnosis.contract.js';
import { Choose, TextBox, TextLine } from '../parts/fields.js';
import { addExplanation, readNumber } from './model-edits.js';
import { COMPONENT_WORDS, ORIGIN_OPTIONS, SEVERITY_OPTIONS } from './model-words.js';
import { codeFor, wordsOf } from './new-code.js';
import type { ModelDraft } from './use-model-draft.js';

interface AddExplanationProps {
  readonly draft: ModelDraft;
  readonly subject: string;
  readonly title: string;
}

/** A new explanation of one subject. Until signs speak for it, the checker will say that nothing could bring it ahead. */
export function AddExplanation({ draft, subject, title }: AddExplanationProps): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  const [added, setAdded] = useState('');
  const add = (data: FormData): void => {
    const word = wordsOf(data);
    const id = codeFor(
      word('fault'),
      draft.typed.explanations.map((one) => one.id),
    );
    draft.change(
      addExplanation({
        id,
        subject,
        // The options of the selects are these lists.
        component: word('component') as Component,
        origin: word('origin') as Origin,
        severity: word('severity') as Explanation['severity'],
        fault: word('fault'),
        prior: readNumber(word('prior')),
        grounds: word('grounds'),
      }),
    );
    form.current?.reset();
    setAdded(`Added as ${id}. Say next how likely each sign is if it were true: on the part “Signs”.`);
  };
  return (
    <details className="act">
      <summary>Add an explanation of {title.toLowerCase()}</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          add(new FormData(event.currentTarget));
        }}
      >
        <TextLine
          id={`new-fault-${subject}`}
          name="fault"
          label="What happened, as a short phrase"
          hint="As an analyst reads it, like: bent on the way by a fork"
          required
          max={400}
        />
        <div className="grid">
          <Choose
            id={`new-component-${subject}`}
            name="component"
            label="Component"
            options={COMPONENTS.map((each) => [each, COMPONENT_WORDS[each]] as const)}
          />
          <Choose id={`new-origin-${subject}`} name="origin" label="Where it comes from" options={ORIGIN_OPTIONS} />
          <Choose
            id={`new-severity-${subject}`}
            name="severity"
            label="How bad it is if true"
            options={SEVERITY_OPTIONS}
          />
          <TextLine
            id={`new-prior-${subject}`}
            name="prior"
            label="Prior"
            hint="A weight beside the others"
            required
            inputMode="decimal"
            max={20}
          />
        </div>
        <TextBox
          id={`new-grounds-${subject}`}
          name="grounds"
          label="Grounds for the prior"
          required
          max={400}
          rows={2}
        />
        <p className="row">
          <button>Add it</button>
          <span role="status" className="small">
            {added}
          </span>
        </p>
      </form>
    </details>
  );
}
