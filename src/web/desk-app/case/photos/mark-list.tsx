import type { ReactNode } from 'react';
import { Trouble } from '../../api/http.js';
import { useMarking, useMarks, type PhotoMark } from '../../api/photos.js';
import { TroubleNote } from '../../parts/fields.js';
import { Time } from '../../parts/parts.js';

/** What was marked in a photo, by whom and when; what was taken back stays on record. */
export function MarkList({ photo, zone }: { readonly photo: string; readonly zone: string }): ReactNode {
  const { data: marks = [] } = useMarks(photo);
  const { takingBack } = useMarking();
  const standing = marks.filter(({ withdrawnAt }) => withdrawnAt === undefined);
  const gone = marks.filter(({ withdrawnAt }) => withdrawnAt !== undefined);
  if (marks.length === 0) return null;
  return (
    <div className="marks tight">
      <TroubleNote trouble={takingBack.error instanceof Trouble ? takingBack.error : undefined} />
      <ol>
        {standing.map((mark) => (
          <li key={mark.id}>
            {saysOf(mark)}
            <span className="sub">
              {mark.creator.name}, <Time at={mark.created} zone={zone} />
            </span>
            <button
              type="button"
              className="linklike noprint"
              disabled={takingBack.isPending}
              onClick={() => takingBack.mutate({ photo, mark: mark.id })}
            >
              Take it back
            </button>
          </li>
        ))}
      </ol>
      {gone.length === 0 ? null : (
        <details>
          <summary>Taken back ({gone.length})</summary>
          <ul>
            {gone.map((mark) => (
              <li key={mark.id}>
                <s>{saysOf(mark)}</s>
                <span className="sub">
                  made by {mark.creator.name}, <Time at={mark.created} zone={zone} />; taken back by{' '}
                  {mark.withdrawnBy?.name ?? 'somebody'}
                  {mark.withdrawnAt === undefined ? null : (
                    <>
                      , <Time at={mark.withdrawnAt} zone={zone} />
                    </>
                  )}
                </span>
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

function saysOf({ body, polygon }: PhotoMark): string {
  if (body !== undefined) return body.value;
  const [x, y] = [0, 1].map((axis) => Math.round(Math.min(...polygon.map((corner) => corner[axis] ?? 0)) * 100));
  return `A place ${x ?? 0} % from the left, ${y ?? 0} % from the top`;
}
