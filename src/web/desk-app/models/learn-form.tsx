import { useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { ModelData } from '../../domain/desk-models.js';
import { useNewDraft } from '../api/models.js';
import { TextLine, TroubleNote } from '../parts/fields.js';

/** Learning from decided claims into a draft of the next version. Nobody fills in for the person how much the model counts. */
export function LearnForm({ data }: { readonly data: ModelData }): ReactNode {
  const navigate = useNavigate();
  const { code, version } = data.line;
  const base = data.inForce?.version ?? version;
  const draft = useNewDraft(
    code,
    (fresh) =>
      void navigate({
        to: '/models/$id/$version',
        params: { id: code, version: String(fresh) },
        search: { part: 'changes' },
      }),
  );
  const { trouble } = draft;
  return (
    <section className="sheet acts">
      <h2>Learn from decided claims</h2>
      <details className="act">
        <summary>Write a draft that is learnt from them</summary>
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            draft.learn(bodyOf(new FormData(event.currentTarget)));
          }}
        >
          <p className="quiet">
            The version in force, {base}, is the opinion to begin with. Say as how many claims it counts: the more, the
            less few claims can move it. The draft shows every number that moved, what it was and from how many claims;
            a second policy owner publishes it. Learn from claims before a day and look at the report for those after
            it.
          </p>
          <TroubleNote trouble={trouble} />
          <div className="grid">
            <TextLine
              id="learn-prior"
              name="priorClaims"
              label="Priors of a thing count as … claims"
              type="number"
              required
              short
              trouble={trouble}
            />
            <TextLine
              id="learn-likelihood"
              name="likelihoodClaims"
              label="Each chance counts as … checked claims"
              type="number"
              required
              short
              trouble={trouble}
            />
            <TextLine
              id="learn-stated"
              name="statedOn"
              label="These two were chosen on"
              type="date"
              value={data.today}
              required
              short
              trouble={trouble}
            />
            <TextLine id="learn-from" name="from" label="Claims decided from" type="date" short trouble={trouble} />
            <TextLine id="learn-until" name="until" label="until" type="date" short trouble={trouble} />
          </div>
          <button className="go" disabled={draft.running}>
            {draft.running ? 'Learning…' : 'Write the draft'}
          </button>
        </form>
      </details>
    </section>
  );
}

/** What was typed as the request has it; empty fields are left out. */
function bodyOf(form: FormData): Readonly<Record<string, unknown>> {
  const typed = [...form].flatMap(([name, value]) =>
    typeof value === 'string' && value !== '' ? [[name, value] as const] : [],
  );
  return Object.fromEntries(typed.map(([name, value]) => [name, name.endsWith('Claims') ? Number(value) : value]));
}
