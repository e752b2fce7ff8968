import type { VNode } from 'preact';
import { reuseRate } from '../../evidence/evidence.contract.js';
import type { ExhibitView } from '../../evidence/evidence.service.js';
import { Note } from './parts.js';

type PhotoPair = NonNullable<ExhibitView['pairs']>[number];

/** The photo of another visit that looks like this one, with what was measured. It decides nothing. */
export function Pair({ pair, own }: { readonly pair: PhotoPair; readonly own: string }): VNode {
  const other = pair.later.id === own ? pair.earlier : pair.later;
  const claims = other.claims.map(({ number }) => number).join(', ');
  const measured =
    pair.distance === undefined
      ? `${pair.inliers ?? 0} of ${pair.matches ?? 0} details in the same places`
      : `${pair.distance} of 256 bits differ`;
  const rate = reuseRate(pair.foundBy);
  const last = pair.opinions.at(-1);
  return (
    <Note tone="warn" title={PAIR_WORDS[pair.band]}>
      <p>
        {claims === '' ? 'A photo of another visit, without a claim' : `A photo of claim ${claims}`}: {measured}
        {pair.turn === undefined || pair.turn === 'upright' ? '' : `, ${pair.turn}`}. Look at both; like things
        photographed alike look alike.
      </p>
      {rate === undefined ? null : (
        <p class="quiet">
          As measured, it is wrong in {rate.flagged.toLocaleString('en')} of {rate.of.toLocaleString('en')} {rate.among}
          .
        </p>
      )}
      <p>
        {[own, other.id].map((id) => (
          <a href={`/v1/photos/${id}/renditions/2048`}>
            <img
              src={`/v1/photos/${id}/renditions/256`}
              alt={id === own ? 'This photo' : 'The photo of the other visit'}
              loading="lazy"
            />
          </a>
        ))}
      </p>
      {last === undefined ? null : (
        <p class="quiet">
          {last.givenBy.name}: {last.opinion}. “{last.words}”
        </p>
      )}
    </Note>
  );
}

const PAIR_WORDS: Readonly<Record<PhotoPair['band'], string>> = {
  'same picture': 'The same picture on another visit:',
  probable: 'Probably the same picture on another visit:',
  check: 'Perhaps a part of the same picture on another visit:',
};
