import type { VNode } from 'preact';
import { showClaimNumber } from '../../kernel/claim-number.js';
import type { Claim, ClaimLine } from '../case-data.js';
import { Office, type Onlooker } from './layout.js';

export interface RetailerPhotosView {
  readonly onlooker: Onlooker;
  readonly claim: Claim;
  readonly line: ClaimLine;
  readonly photos: readonly { readonly id: string; readonly about: string }[];
}

/** The photos of a claim that its retailer may see: upright copies, without where they were taken. */
export function RetailerPhotos({ onlooker, claim, line, photos }: RetailerPhotosView): VNode {
  const number = claim.number === null ? 'Draft' : showClaimNumber(claim.number);
  return (
    <Office title={`Photos of ${number}`} onlooker={onlooker} at="/claims">
      <p class="quiet">
        <a href={`/claims/${claim.id}`}>Back to the claim</a>
      </p>
      <h1>Photos of {number}</h1>
      <p>
        {line.model} · order {line.orderReference}
      </p>
      {photos.length === 0 ? (
        <p class="lead">There are none. What the crew or you add appears here.</p>
      ) : (
        <div class="photos below">
          {photos.map(({ id, about }) => (
            <figure>
              <a class="frame" href={`/v1/photos/${id}/renditions/2048`}>
                <img src={`/v1/photos/${id}/renditions/1024`} alt={`${about}, larger`} loading="lazy" />
              </a>
              <figcaption>{about}</figcaption>
            </figure>
          ))}
        </div>
      )}
    </Office>
  );
}
