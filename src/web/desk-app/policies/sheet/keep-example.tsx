import { Link } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import type { Evaluation, Facts, PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { exampleFrom, type CaseTyped } from './tried-case.js';

interface KeepProps {
  readonly document: PolicyDocument;
  readonly typed: CaseTyped;
  readonly given: Facts;
  readonly evaluation: Evaluation;
  /** The example that the case was made from. */
  readonly from: string | undefined;
  readonly onKeep: (example: PolicyExample) => void;
}

/** Keeps a case as an example that expects what came out. */
export function KeepExample({ document, typed, given, evaluation, from, onKeep }: KeepProps): ReactNode {
  const [name, setName] = useState(from ?? '');
  const [kept, setKept] = useState<string>();
  const taken = document.examples.some(({ id }) => id === name.trim());
  const { decisions } = document;
  const gives = decisions
    .filter(({ id }) => typed.decision === '' || id === typed.decision)
    .flatMap((decision) => Object.keys(decision.gives));
  return (
    <form
      className="sheet stack noprint"
      onSubmit={(event) => {
        event.preventDefault();
        const id = name.trim();
        if (id === '') return;
        onKeep(exampleFrom(id, typed, given, evaluation, gives));
        setKept(id);
      }}
    >
      <h2>Keep it as an example</h2>
      <p>It expects what came out just now. Keep it only where that is right.</p>
      <div className="field">
        <label htmlFor="example-name">Name of the example, in a few words</label>
        <input
          id="example-name"
          required
          maxLength={120}
          value={name}
          onChange={(event) => {
            setName(event.currentTarget.value);
            setKept(undefined);
          }}
        />
      </div>
      <button>{taken && kept === undefined ? 'Write this example anew' : 'Keep the example'}</button>
      <p role="status">
        {kept === undefined ? null : (
          <>
            “{kept}” is in the sheet.{' '}
            <Link
              to="/policies/$id/$version"
              params={(old) => ({ id: old.id ?? '', version: old.version ?? '' })}
              search={{ part: 'examples' }}
            >
              Go there and save the draft
            </Link>
          </>
        )}
      </p>
    </form>
  );
}
