import type { ReactNode } from 'react';
import type { CaseData } from '../../../case-data.js';
import { showTime } from '../../../domain/time-words.js';
import { useReadAgain } from '../../api/photos.js';
import { TroubleNote } from '../../parts/fields.js';
import { Mark, Note, Time } from '../../parts/parts.js';
import { MarkList } from './mark-list.js';
import { Advice, Doubts, Labels } from './photo-findings.js';
import type { Picture } from './pictures.js';

interface CardsProps {
  readonly pictures: readonly Picture[];
  readonly view: CaseData;
  /** Lays a photo on the table, by its place in the list. */
  readonly show: (index: number) => void;
}

/** Every photo with when it was taken, how good it is, what is doubtful about it and what was marked. */
export function PhotoCards({ pictures, view, show }: CardsProps): ReactNode {
  return (
    <ol className="plain photocards">
      {pictures.map((picture, index) => (
        <Card key={picture.id} picture={picture} view={view} show={() => show(index)} />
      ))}
    </ol>
  );
}

function Card(props: { readonly picture: Picture; readonly view: CaseData; readonly show: () => void }): ReactNode {
  const { picture, view, show } = props;
  const { row, renditions } = picture.exhibit;
  const { zone } = view.visit;
  const sizes = renditions.toSorted((a, b) => a.size - b.size);
  const small = sizes[0];
  return (
    <li>
      {small === undefined ? (
        <NotShown picture={picture} view={view} />
      ) : (
        <button type="button" className="thumb" onClick={show} aria-label={`Lay photo ${picture.n} on the table`}>
          <img
            src={`/v1/photos/${picture.id}/renditions/${small.size}`}
            data-large={`/v1/photos/${picture.id}/renditions/${(sizes[1] ?? small).size}`}
            alt=""
            width={small.width}
            height={small.height}
            loading="lazy"
          />
        </button>
      )}
      <div className="tight">
        <p>
          <strong>
            {picture.n}. {picture.about}
          </strong>{' '}
          <span className="quiet">{picture.shows}</span>
        </p>
        {picture.earlier === undefined ? null : (
          <p>
            <Mark shape="diamond" tone="info" says={`From claim ${picture.earlier}`} />
          </p>
        )}
        <p className="small quiet">
          {takenWords(row.reading, zone)} · received <Time at={row.receivedAt} zone={zone} /> from {row.receivedBy.name}
        </p>
        {row.withdrawnAt === null ? null : <Mark shape="cross" tone="plainly" says="Withdrawn" />}
        <Advice quality={row.reading?.quality} />
        <Doubts doubts={row.reading?.doubts ?? []} />
        <Labels reading={row.reading} />
        <MarkList photo={picture.id} zone={zone} />
      </div>
    </li>
  );
}

/** A photo without pictures: why, and what may be done. */
function NotShown({ picture, view }: { readonly picture: Picture; readonly view: CaseData }): ReactNode {
  const { ask, asking, trouble } = useReadAgain(view.claim.id);
  const { row } = picture.exhibit;
  const failed = row.state === 'failed';
  return (
    <div className="thumb nothing tight">
      <Mark
        shape={failed ? 'triangle' : 'half'}
        tone={failed ? 'warn' : 'info'}
        says={failed ? 'Cannot be shown' : 'Being read'}
      />
      <p className="small">{row.failure ?? 'The pictures are being made. They appear by themselves.'}</p>
      <TroubleNote trouble={trouble} />
      <p className="row noprint">
        <button type="button" disabled={asking} onClick={() => ask(row.id)}>
          {asking ? 'Asking…' : 'Read it again'}
        </button>
        <a href={`/v1/photos/${row.id}/original`}>Original file</a>
      </p>
      {row.mediaType === 'image/heic' && failed ? (
        <Note tone="info">
          <p>This service has no decoder for HEIC. The original is kept whole; open it with a program that reads it.</p>
        </Note>
      ) : null}
    </div>
  );
}

function takenWords(reading: Picture['exhibit']['row']['reading'], zone: string): string {
  if (reading === null) return 'Not read yet';
  const { capture } = reading;
  if (capture === null) return 'The camera recorded no time';
  if (capture.capturedAt !== undefined) return `Taken ${showTime(capture.capturedAt, zone)}`;
  return `Taken ${(capture.capturedAtLocal ?? '').slice(0, 16).replace('T', ' ')} by the camera’s own clock, zone not recorded`;
}
