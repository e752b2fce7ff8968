import { Link } from '@tanstack/react-router';
import { useRef, type ReactNode } from 'react';
import { showClaimNumber } from '../../../../kernel/claim-number.js';
import type { CaseData } from '../../../case-data.js';
import { count } from '../../../domain/time-words.js';
import { sentenceCase } from '../../../domain/trade-words.js';
import { Trouble } from '../../api/http.js';
import { PAIR_OPINIONS, usePairOpinion, usePhotoPairs, type PhotoPair } from '../../api/photo-pairs.js';
import { Choose, TextBox, TroubleNote } from '../../parts/fields.js';
import { Mark, Time } from '../../parts/parts.js';
import { Failing } from '../../parts/states.js';
import { photoWords } from './pictures.js';

/** Pairs that are shown unfolded; what is broken stands below them. */
const AT_ONCE = 2;

/** Photos of other visits that look like those of this case, side by side for a person to judge. */
export function PhotoPairs({ view }: { readonly view: CaseData }): ReactNode {
  const found = usePhotoPairs(view.claim.inspectionId);
  // Who may not compare photos of other visits is shown none, and told of none.
  const refused = found.error instanceof Trouble && [403, 404].includes(found.error.status);
  if (found.isError && found.data === undefined && !refused)
    return <Failing trouble={found.error} again={() => void found.refetch()} />;
  if (found.data === undefined || found.data.length === 0) return null;
  return (
    <section className="sheet stack" id="pairs">
      <h2>Seen before?</h2>
      <p>
        These photos look like photos of other visits. It is no verdict: look at both and say what you see. Nobody is
        declined for it alone.
      </p>
      {found.data.slice(0, AT_ONCE).map((pair) => (
        <Pair key={pair.id} pair={pair} view={view} />
      ))}
      {found.data.length <= AT_ONCE ? null : (
        <details>
          <summary>{count(found.data.length - AT_ONCE, 'more pair')}</summary>
          {found.data.slice(AT_ONCE).map((pair) => (
            <Pair key={pair.id} pair={pair} view={view} />
          ))}
        </details>
      )}
    </section>
  );
}

function Pair({ pair, view }: { readonly pair: PhotoPair; readonly view: CaseData }): ReactNode {
  const { zone } = view.visit;
  return (
    <div className="finding stack">
      <div className="row spread">
        <h3>{sentenceCase(pair.band)}</h3>
        {pair.sameShot ? <Mark shape="triangle" tone="bad" says="Same camera, same instant" /> : null}
      </div>
      <div className="panes">
        {[pair.later, pair.earlier].map((photo) => (
          <figure key={photo.id} className="tight">
            <a href={photo.picture}>
              <img src={photo.picture} alt={wordsOf(view, photo)} loading="lazy" width={512} height={384} />
            </a>
            <figcaption className="small">
              {wordsOf(view, photo)} Received <Time at={photo.receivedAt} zone={zone} />
              {photo.withdrawn ? ' · withdrawn' : ''}
              {photo.claims.map(({ id, number }) => (
                <span key={id} className="sub">
                  {id === view.claim.id ? (
                    'This claim'
                  ) : (
                    <Link to="/claims/$id" params={{ id }} preload={false}>
                      Claim {showClaimNumber(number)}
                    </Link>
                  )}
                </span>
              ))}
            </figcaption>
          </figure>
        ))}
      </div>
      <p className="small quiet">{foundWords(pair)}</p>
      {pair.opinions.map(({ opinion, words, givenAt, givenBy }) => (
        <p key={givenAt + givenBy.name}>
          <strong>{sentenceCase(opinion)}:</strong> {words}
          <span className="sub">
            {givenBy.name}, <Time at={givenAt} zone={zone} />
          </span>
        </p>
      ))}
      {view.mayAct ? <Opinion pair={pair} /> : null}
    </div>
  );
}

/** What a photo was taken for, in the words of this visit's checklist; a check that it does not have goes by its id. */
function wordsOf(view: CaseData, { item, shows }: Pick<PhotoPair['later'], 'item' | 'shows'>): string {
  const { about, shows: says } = photoWords(view, item, shows);
  return `${about} ${says}${says.endsWith('.') ? '' : '.'}`;
}

/** How it was found, what was measured, and how often that is wrong. */
function foundWords({ foundBy, distance, turn, matches, inliers, rate }: PhotoPair): string {
  const measured = [
    ...(distance === undefined ? [] : [`${distance} of 256 bits differ`]),
    ...(turn === undefined || turn === 'upright' ? [] : [`one is turned (${turn})`]),
    ...(inliers === undefined ? [] : [`${inliers} of ${matches ?? inliers} details fit one move`]),
  ].join(', ');
  const wrong =
    rate === undefined
      ? 'How often this is wrong has not been measured.'
      : `It was wrong about ${rate.flagged.toLocaleString('en')} of ${rate.of.toLocaleString('en')} ${rate.among}.`;
  return `Found by ${foundBy}${measured === '' ? '' : `: ${measured}`}. ${wrong}`;
}

function Opinion({ pair }: { readonly pair: PhotoPair }): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  const { say, saying, trouble } = usePairOpinion(pair.id, () => form.current?.reset());
  return (
    <details className="noprint">
      <summary>Say what you see</summary>
      <form
        ref={form}
        className="stack"
        onSubmit={(event) => {
          event.preventDefault();
          const typed = new FormData(event.currentTarget);
          const word = (name: string): string => {
            const value = typed.get(name);
            return typeof value === 'string' ? value.trim() : '';
          };
          say(word('opinion'), word('words'));
        }}
      >
        <TroubleNote trouble={trouble} />
        <Choose
          id={`${pair.id}-opinion`}
          name="opinion"
          label="Both show"
          none="Choose"
          options={PAIR_OPINIONS.map((each) => [each, `The ${each}`] as const)}
          trouble={trouble}
        />
        <TextBox id={`${pair.id}-words`} name="words" label="What it rests on" required trouble={trouble} />
        <button disabled={saying}>{saying ? 'Sending…' : 'Say it'}</button>
      </form>
    </details>
  );
}
