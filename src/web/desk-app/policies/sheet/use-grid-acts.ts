import { useMemo, useRef } from 'react';
import type { PolicyDocument, PolicyFault } from '../../../../policies/policies.contract.js';
import type { Wrong } from './cell-editor.js';
import { addRule, moveRule, removeOtherwise, removeRule } from './document-edits.js';
import type { EditPlace } from './draft-history.js';
import { placeOfFault } from './fault-places.js';
import type { GridActs } from './grid.js';
import type { CellPlace } from './grid-model.js';
import { addParameterValue, removeParameterValue } from './parameter-grid.js';
import { decisionOf, documentWith } from './sheet-parts.js';

interface ActsWays {
  readonly document: PolicyDocument;
  readonly part: string;
  readonly faultsOf: (document: PolicyDocument) => Promise<readonly PolicyFault[]>;
  /** Absent where nobody may write. */
  readonly onWrite: ((document: PolicyDocument, place?: EditPlace) => void) | undefined;
  readonly onTyping: (is: boolean) => void;
}

/** What can be done to the grid of a part. */
export function useGridActs({ document, part, faultsOf, onWrite, onTyping }: ActsWays): GridActs | undefined {
  // Two acts may follow each other before the page is drawn anew; the second rests on what the first has written.
  const now = useRef(document);
  now.current = document;
  const check = useRef(faultsOf);
  check.current = faultsOf;
  return useMemo(() => {
    if (onWrite === undefined) return undefined;
    const write = (next: PolicyDocument, place: EditPlace): void => {
      now.current = next;
      onWrite(next, place);
    };
    return {
      write: (at, text) => write(documentWith(now.current, part, at, text), { part, ...at }),
      writeBlock: (at, texts) => write(withBlock(now.current, part, at, texts), { part, ...at }),
      check: async (at, text) => {
        const thought = documentWith(now.current, part, at, text);
        return wrongAt(thought, await check.current(thought), { part, ...at });
      },
      typing: onTyping,
      ...rowActs(part, now, write),
    };
  }, [part, onWrite, onTyping]);
}

function withBlock(
  document: PolicyDocument,
  part: string,
  at: CellPlace,
  texts: readonly (readonly string[])[],
): PolicyDocument {
  return texts.reduce(
    (before, line, row) =>
      line.reduce(
        (of, text, column) => documentWith(of, part, { row: at.row + row, column: at.column + column }, text),
        before,
      ),
    document,
  );
}

/** What is wrong with one cell, among all that is wrong with a document. */
function wrongAt(
  document: PolicyDocument,
  faults: readonly PolicyFault[],
  { part, row, column }: EditPlace,
): Wrong | undefined {
  const fault = faults.find((each) => {
    const place = placeOfFault(document, each);
    // Outside of decisions a fault knows its row only.
    return place.part === part && place.row === row && (place.column ?? column) === column;
  });
  return fault === undefined ? undefined : { says: fault.detail, from: fault.from, to: fault.to };
}

/** What can be done to whole rows: everything in tables, values in parameters, nothing elsewhere. */
function rowActs(
  part: string,
  now: { readonly current: PolicyDocument },
  write: (next: PolicyDocument, place: EditPlace) => void,
): Pick<GridActs, 'move' | 'add' | 'remove'> {
  if (part === 'parameters') {
    return {
      add: (below) => {
        const { document, row } = addParameterValue(now.current, below);
        write(document, { part, row, column: 1 });
        return row;
      },
      remove: (row) => write(removeParameterValue(now.current, row), { part, row }),
    };
  }
  const decision = decisionOf(now.current, part);
  if (decision === undefined) return {};
  const { id } = decision;
  const rules = (): number => decisionOf(now.current, part)?.table?.rules.length ?? 0;
  return {
    move: (from, to) => write(moveRule(now.current, id, from, to), { part, row: to }),
    add: (below) => {
      const row = Math.min(below + 1, rules());
      write(addRule(now.current, id, below), { part, row, column: 0 });
      return row;
    },
    remove: (row) =>
      write(row < rules() ? removeRule(now.current, id, row) : removeOtherwise(now.current, id), { part, row }),
  };
}
