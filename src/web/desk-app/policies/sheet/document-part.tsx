import { useState, type ReactNode } from 'react';
import { formatPolicy } from '../../../../policies/wording.contract.js';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { Note } from '../../parts/parts.js';
import { readDocument } from './read-document.js';

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
