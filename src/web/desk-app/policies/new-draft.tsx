import { useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { useDrafting, useLife, type VersionLine } from '../api/policies.js';
import { TextLine, TroubleNote } from '../parts/fields.js';
import { Failing } from '../parts/states.js';
import { Pick } from '../parts/pick.js';
import { sheetOf } from './addresses.js';

/** A new draft that begins with what a version says. */
export function NewDraft({
  code,
  versions,
}: {
  readonly code: string;
  readonly versions: readonly VersionLine[];
}): ReactNode {
  const navigate = useNavigate();
  const held = versions.find(({ state }) => state === 'in force') ?? versions.at(-1);
  const [chosen, setChosen] = useState<number>();
  const version = chosen ?? held?.version;
  const source = useLife(code, version);
  const drafting = useDrafting((made) => void navigate({ to: sheetOf(made.code, made.version) }));
  return (
    <section className="sheet stack" id="new-draft">
      <h2>New draft</h2>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          const form = new FormData(event.currentTarget);
          const from = form.get('effectiveFrom');
          if (source.data === undefined || typeof from !== 'string') return;
          drafting.run({ code, document: source.data.document, effectiveFrom: from });
        }}
      >
        <TroubleNote trouble={drafting.trouble} />
        {source.isError ? <Failing trouble={source.error} again={() => void source.refetch()} /> : null}
        <Pick
          id="draft-from"
          label="Begin with"
          value={String(version ?? '')}
          onPick={(value) => setChosen(Number(value))}
          options={versions
            .toReversed()
            .map((line) => [String(line.version), `Version ${line.version}, ${line.state}`] as const)}
        />
        <TextLine
          id="draft-effective"
          name="effectiveFrom"
          type="date"
          label="To hold from"
          hint="A local day where the policy governs. It can still be changed until it is published."
          trouble={drafting.trouble}
          short
          required
        />
        <button className="go" disabled={drafting.running || source.data === undefined}>
          {drafting.running ? 'Writing…' : 'Write the draft'}
        </button>
      </form>
    </section>
  );
}
