import { useState, type ReactNode } from 'react';
import { useKeeping, useProgramKeys, type ProgramKey, type Retailer } from '../api/people.js';
import { TroubleNote } from '../parts/fields.js';
import { Mark, Note, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { CopyButton } from '../visits/copy-button.js';
import { EndKey } from './end-key.js';
import { MakeKey } from './make-key.js';
import { SCOPE_WORDS } from './scope-words.js';

/** Keys for programs: made and shown once, replaced while the old one goes on, ended. */
export function KeysPart({ retailers }: { readonly retailers: readonly Retailer[] }): ReactNode {
  const found = useProgramKeys();
  const keeping = useKeeping();
  const [replaced, setReplaced] = useState<ProgramKey>();
  const [ending, setEnding] = useState<ProgramKey>();
  const keys = found.data ?? [];
  const made = keeping.making.data;
  const standsIn = keys.find(({ id }) => id === replaced?.id && made !== undefined && id !== made.id);
  const nameOf = (id: string): string => retailers.find((each) => each.id === id)?.name ?? 'a retailer';
  return (
    <section className="sheet stack" id="keys">
      <h2>Keys for programs</h2>
      <p className="quiet">
        A program presents its key in place of a person. Nobody decides by key, and no key reads people or other keys.
      </p>
      <div role="status">
        {made === undefined ? null : (
          <Note tone="ok" title={`The key “${made.name}” is made. It is shown only now.`}>
            <p className="secret" id="made">
              {made.secret}
            </p>
            <CopyButton text={made.secret} what="the key" />
            <p>Give it to the program’s owner by a safe way. Whoever holds it acts with its rights.</p>
            {standsIn === undefined || standsIn.endedAt !== undefined ? null : (
              <p>
                The old key still works, so that nothing stands still. Once the program uses the new one, end it:{' '}
                <button type="button" className="linklike" onClick={() => setEnding(standsIn)}>
                  End the old key “{standsIn.name}”
                </button>
              </p>
            )}
          </Note>
        )}
      </div>
      {found.isPending ? <Loading what="the keys" /> : null}
      {found.isError && found.data === undefined ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : null}
      {found.data?.length === 0 ? (
        <p>No program has a key yet. Make one below for each program, so that each can be ended alone.</p>
      ) : null}
      {keys.length > 0 ? <KeyTable keys={keys} companyOf={nameOf} onReplace={setReplaced} onEnd={setEnding} /> : null}
      <TroubleNote trouble={keeping.endingTrouble} />
      <MakeKey
        key={replaced?.id ?? 'new'}
        retailers={retailers}
        inPlaceOf={made !== undefined && standsIn !== undefined ? undefined : replaced}
        making={keeping.making}
        trouble={keeping.makingTrouble}
      />
      {ending === undefined ? null : (
        <EndKey
          name={ending.name}
          onClose={() => setEnding(undefined)}
          onEnd={() => {
            keeping.ending.mutate(ending.id);
            setEnding(undefined);
          }}
        />
      )}
    </section>
  );
}

interface KeyTableProps {
  readonly keys: readonly ProgramKey[];
  readonly companyOf: (id: string) => string;
  readonly onReplace: (key: ProgramKey) => void;
  readonly onEnd: (key: ProgramKey) => void;
}

function KeyTable({ keys, companyOf, onReplace, onEnd }: KeyTableProps): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Keys, the newest first</caption>
      <thead>
        <tr>
          <th scope="col">Key</th>
          <th scope="col">It may</th>
          <th scope="col">Sees</th>
          <th scope="col">Last used</th>
          <th scope="col">State</th>
          <th scope="col">
            <span className="away">Replace or end</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {keys.map((key) => {
          const over = overWords(key);
          return (
            <tr key={key.id}>
              <th scope="row">
                {key.name}
                <span className="sub nums">{key.prefix}…</span>
              </th>
              <td data-label="It may">{key.scopes.map((scope) => SCOPE_WORDS[scope]).join('; ')}</td>
              <td data-label="Sees">
                {key.retailer === undefined ? 'The whole house' : `Only what is ${companyOf(key.retailer)}’s`}
              </td>
              <td data-label="Last used">{key.lastUsedAt === undefined ? 'Never' : <Time at={key.lastUsedAt} />}</td>
              <td>
                {over === undefined ? (
                  <Mark shape="tick" tone="ok" says="Works" />
                ) : (
                  <Mark shape="cross" tone="plainly" says={over} />
                )}
                {key.expiresAt === undefined || over !== undefined ? null : (
                  <span className="sub">
                    Until <Time at={key.expiresAt} />
                  </span>
                )}
              </td>
              <td>
                {over === undefined ? (
                  <span className="row">
                    <button type="button" className="linklike" onClick={() => onReplace(key)}>
                      Replace <span className="away">{key.name}</span>
                    </button>
                    <button type="button" className="linklike" onClick={() => onEnd(key)}>
                      End <span className="away">{key.name}</span>
                    </button>
                  </span>
                ) : null}
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function overWords({ endedAt, expiresAt }: ProgramKey): string | undefined {
  if (endedAt !== undefined) return 'Ended';
  const over =
    expiresAt !== undefined && Temporal.Instant.compare(Temporal.Now.instant(), Temporal.Instant.from(expiresAt)) >= 0;
  return over ? 'Expired' : undefined;
}
