import { useNavigate } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { useDrafting, type VersionLine } from '../api/policies.js';
import { TextLine, TroubleNote } from '../parts/fields.js';
import { Pick } from '../parts/pick.js';
import { sheetOf } from './addresses.js';
import { useReadIn, type Understood } from './read-in.js';
import { UnderstoodNote } from './understood.js';

interface BringInProps {
  /** The policy that the file becomes a version of; absent: the file may be of any, also a new one. */
  readonly code?: string;
  readonly versions: readonly VersionLine[];
}

const ITSELF = '';

/** A policy from a file of another program. Nothing is kept before the reader has seen what was understood. */
export function BringIn({ code, versions }: BringInProps): ReactNode {
  const bases = basesOf(versions, code);
  const [base, setBase] = useState(code === undefined ? ITSELF : (bases[0]?.[0] ?? ITSELF));
  const [file, setFile] = useState<File>();
  const reading = useReadIn();
  const read = (): void => {
    if (file !== undefined) reading.run({ file, base: base === ITSELF ? undefined : baseOf(base) });
  };
  return (
    <section className="sheet stack" id="bring-in">
      <h2>Bring in a file</h2>
      <form
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          read();
        }}
      >
        <TroubleNote trouble={reading.trouble} />
        <div className="field">
          <label htmlFor="policy-file">File</label>
          <span className="hint" id="policy-file-hint">
            A decision model (DMN), tables as they were exported (CSV), or a policy document (JSON).
          </span>
          <input
            id="policy-file"
            type="file"
            required
            accept=".dmn,.xml,.csv,.json"
            aria-describedby="policy-file-hint"
            onChange={(event) => {
              setFile(event.currentTarget.files?.[0]);
              reading.reset();
            }}
          />
        </div>
        <Pick
          id="policy-base"
          label="What the file does not say comes from"
          value={base}
          onPick={(value) => {
            setBase(value);
            reading.reset();
          }}
          options={[...(code === undefined ? [[ITSELF, 'Nowhere: the file says it all'] as const] : []), ...bases]}
        />
        <button className="do" disabled={reading.running || file === undefined}>
          {reading.running ? 'Reading…' : 'Read it'}
        </button>
      </form>
      {reading.understood === undefined ? null : <Keep understood={reading.understood} code={code} />}
    </section>
  );
}

function Keep({ understood, code }: { readonly understood: Understood; readonly code: string | undefined }): ReactNode {
  const navigate = useNavigate();
  const drafting = useDrafting((made) => void navigate({ to: sheetOf(made.code, made.version) }));
  const { document } = understood;
  return (
    <div className="stack" id="understood">
      <UnderstoodNote understood={understood} />
      {code !== undefined && document.id !== code ? (
        <p className="wrong">
          The file is of the policy {document.id}, and this page is of {code}. Bring it in on the page of all policies,
          or change its id.
        </p>
      ) : understood.check.faults.length > 0 ? (
        <p className="wrong">It cannot be kept before these faults are mended in the file.</p>
      ) : (
        <form
          className="stack"
          onSubmit={(event) => {
            event.preventDefault();
            const from = new FormData(event.currentTarget).get('effectiveFrom');
            if (typeof from === 'string') drafting.run({ code: document.id, document, effectiveFrom: from });
          }}
        >
          <TroubleNote trouble={drafting.trouble} />
          <TextLine
            id="file-effective"
            name="effectiveFrom"
            type="date"
            label="To hold from"
            trouble={drafting.trouble}
            short
            required
          />
          <button className="go" disabled={drafting.running}>
            {drafting.running ? 'Keeping…' : 'Keep it as a draft'}
          </button>
        </form>
      )}
    </div>
  );
}

/** What a file can be read onto: of one policy its versions, of all of them their newest. */
function basesOf(versions: readonly VersionLine[], code: string | undefined): (readonly [string, string])[] {
  if (code !== undefined)
    return versions.toReversed().map(({ version, state }) => [`${code}/${version}`, `Version ${version}, ${state}`]);
  return [...Map.groupBy(versions, (line) => line.code)].flatMap(([of, lines]) => {
    const line = lines.find(({ state }) => state === 'in force') ?? lines.at(-1);
    return line === undefined ? [] : [[`${of}/${line.version}`, `${line.title}, version ${line.version}`] as const];
  });
}

function baseOf(base: string): { readonly code: string; readonly version: number } {
  const cut = base.lastIndexOf('/');
  return { code: base.slice(0, cut), version: Number(base.slice(cut + 1)) };
}
