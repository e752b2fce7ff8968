import { useMemo, type ReactNode, type Ref } from 'react';
import type { PolicyDocument, PolicyExample } from '../../../../policies/policies.contract.js';
import { AboutPart } from './about-part.js';
import { CoveragePart } from './coverage-part.js';
import { DocumentPart } from './document-part.js';
import type { Draft, EditPlace } from './draft-history.js';
import { ExamplesPart } from './examples-part.js';
import { concernsByRow, type Concern } from './fault-places.js';
import { Grid, type GridHandle } from './grid.js';
import { GridTools } from './grid-tools.js';
import { useGridActs } from './use-grid-acts.js';
import { decisionOf, gridOf, partsOf } from './sheet-parts.js';
import { ColumnsPanel, ExpressionPart, HitPick } from './table-part.js';
import { ParameterForm } from './parameter-form.js';
import type { Checked } from './use-checker.js';

interface PartProps {
  readonly part: string;
  readonly draft: Draft;
  readonly version: number;
  readonly checked: Checked;
  readonly concerns: readonly Concern[];
  readonly grid: Ref<GridHandle> & { readonly current: GridHandle | null };
  readonly onGo: (place: EditPlace) => void;
  readonly onTyping: (is: boolean) => void;
  /** Absent where nobody may write, as are the next two. */
  readonly onWrite?: (document: PolicyDocument, place?: EditPlace) => void;
  readonly onDraft?: (draft: Draft) => void;
  readonly onExample?: (example: PolicyExample) => void;
}

/** One part of a policy. */
export function PartView(props: PartProps): ReactNode {
  const { part, draft } = props;
  const title = partsOf(draft.document).find(([each]) => each === part)?.[1];
  const says = decisionOf(draft.document, part)?.title;
  return (
    <>
      <h2 id="part-title" tabIndex={-1}>
        {title}
      </h2>
      {says === undefined ? null : <p>{says}</p>}
      <Inside {...props} />
    </>
  );
}

function Inside(props: PartProps): ReactNode {
  const { part, draft, checked, version, onWrite, onGo, onExample } = props;
  const { document } = draft;
  const { examined } = checked;
  switch (part) {
    case 'about':
      return <AboutPart draft={draft} onWrite={props.onDraft} />;
    case 'examples':
      return <ExamplesPart document={document} version={version} results={examined?.examples} onWrite={onWrite} />;
    case 'coverage':
      return <CoveragePart document={document} coverage={examined?.coverage} onGo={onGo} onExample={onExample} />;
    case 'document':
      return <DocumentPart document={document} onWrite={onWrite} />;
    default: {
      const decision = decisionOf(document, part);
      return decision?.expression === undefined ? (
        <GridPart {...props} />
      ) : (
        <ExpressionPart document={document} decision={decision} onWrite={onWrite} />
      );
    }
  }
}

function GridPart({ part, draft, checked, concerns, grid, onWrite, onTyping }: PartProps): ReactNode {
  const { document } = draft;
  const model = useMemo(() => gridOf(document, part), [document, part]);
  const rows = useMemo(() => concernsByRow(concerns, part), [concerns, part]);
  const acts = useGridActs({ document, part, faultsOf: checked.faultsOf, onWrite, onTyping });
  const decision = decisionOf(document, part);
  if (model === undefined) return <p>There is nothing here yet.</p>;
  return (
    <>
      {decision === undefined ? null : <HitPick document={document} decision={decision} onWrite={onWrite} />}
      {part === 'parameters' ? (
        <p>A value holds from its day until the next one’s; there is none before the first.</p>
      ) : null}
      {model.rows.length === 0 ? (
        <p>There is no row yet.</p>
      ) : (
        <Grid key={part} model={model} concerns={rows} acts={acts} handle={grid} />
      )}
      {acts === undefined ? null : <GridTools model={model} acts={acts} grid={grid} />}
      {decision === undefined ? null : <ColumnsPanel document={document} decision={decision} onWrite={onWrite} />}
      {part === 'parameters' && onWrite !== undefined ? <ParameterForm document={document} onWrite={onWrite} /> : null}
    </>
  );
}
