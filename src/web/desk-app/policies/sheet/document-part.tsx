import { useState, type ReactNode } from 'react';
import { formatPolicy } from '../../../../policies/wording.contract.js';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { Note } from '../../parts/parts.js';

interface DocumentProps {
  readonly document: PolicyDocument;
  /** Absent where nobody may write. */
  readonly onWrite?: ((document: PolicyDocument) => void) | undefined;
}

/** The whole document as text, for whatever has no place of its own in the sheet: new facts, new decisions, new outcomes. */
export function DocumentPart({ document, onWrite }: DocumentProps): ReactNode {
  const [text, setText] = useState(() => formatPolicy(document));
  const [wrong, setWrong] = useState<string>();
  const take = (): void => {
    const read = readDocument(text, document.id);
    if ('wrong' in read) return setWrong(read.wrong);
    setWrong(undefined);
    onWrite?.(read.document);
  };
  return (
    <div className="stack">
      <p>
        The same document as text. New facts, decisions and outcomes are written here; what is written counts when you
        take it over.
      </p>
      <div className="field">
        <label htmlFor="document">Document of format policy/1</label>
        <textarea
          id="document"
          className="nums wide"
          rows={24}
          spellCheck={false}
          readOnly={onWrite === undefined}
          value={text}
          onChange={(event) => setText(event.currentTarget.value)}
          {...(wrong === undefined ? {} : { 'aria-invalid': true, 'aria-describedby': 'document-wrong' })}
        />
      </div>
      {wrong === undefined ? null : (
        <div id="document-wrong" role="alert">
          <Note tone="bad" title="This text cannot be taken over.">
            <p>{wrong}</p>
          </Note>
        </div>
      )}
      {onWrite === undefined ? null : (
        <p className="row">
          <button type="button" onClick={take}>
            Take it over
          </button>
          <button
            type="button"
            onClick={() => {
              setText(formatPolicy(document));
              setWrong(undefined);
            }}
          >
            Write it anew from the sheet
          </button>
        </p>
      )}
    </div>
  );
}

/** What the sheet can show: the lists and objects that it walks through are there. What is wrong inside them is for the checker. */
function readDocument(text: string, id: string): { readonly document: PolicyDocument } | { readonly wrong: string } {
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch (error) {
    return { wrong: `It is not JSON: ${error instanceof Error ? error.message : String(error)}.` };
  }
  const of = (typeof read === 'object' && read !== null ? read : {}) as Partial<PolicyDocument>;
  if (of.id !== id) return { wrong: `Its id must stay ${id}; another policy has a sheet of its own.` };
  const missing = [
    ...(['decisions', 'examples'] as const).filter((name) => !Array.isArray(of[name])),
    ...(['facts', 'parameters', 'money'] as const).filter((name) => typeof of[name] !== 'object' || of[name] === null),
  ];
  if (missing.length > 0)
    return { wrong: `These members are missing, or are not what they have to be: ${missing.join(', ')}.` };
  const odd = (of.decisions ?? []).findIndex(
    (decision) =>
      typeof decision.gives !== 'object' ||
      (decision.table !== undefined &&
        (!Array.isArray(decision.table.rules) || typeof decision.table.columns !== 'object')),
  );
  if (odd >= 0) return { wrong: `Decision ${odd + 1} lacks gives, rules or columns.` };
  return { document: of as PolicyDocument };
}
