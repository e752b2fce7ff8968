import { Link } from '@tanstack/react-router';
import { useState, type ReactNode } from 'react';
import { showClaimNumber } from '../../../kernel/claim-number.js';
import type { CaseData } from '../../case-data.js';
import { stateMark } from '../../domain/state-marks.js';
import { dueIn } from '../../domain/time-words.js';
import { GROUND_WORDS, sentenceCase } from '../../domain/trade-words.js';
import { useCasePhones } from '../api/phones.js';
import { Mark } from '../parts/parts.js';
import { lastSearch, neighboursOf } from '../queue/last-queue.js';
import { phonesTell } from './case-phones.js';
import { CaseTaker } from './case-taker.js';

const PLACES: readonly (readonly [id: string, says: string])[] = [
  ['photos', 'Photos'],
  ['findings', 'Why'],
  ['remedies', 'Remedy'],
  ['recoveries', 'Recovery'],
  ['carrier', 'Carrier'],
  ['clocks', 'Clocks'],
  ['custody', 'Custody'],
  ['earlier', 'Earlier claims'],
  ['phones', 'Phones'],
  ['answers', 'Checks'],
  ['warranty', 'Warranty'],
  ['trail', 'Trail'],
];

/** Which case it is, how it stands, the cases beside it, and the way to each part of the page. */
export function CaseHead({ view }: { readonly view: CaseData }): ReactNode {
  const { claim, line, assessment } = view;
  const phones = useCasePhones(claim.id, claim.visitId);
  const there: Readonly<Record<string, boolean>> = {
    findings: assessment !== undefined,
    remedies: assessment !== undefined,
    carrier: (assessment?.elements ?? []).length > 0,
    clocks: (assessment?.clocks ?? []).length > 0,
    phones: phones.data === undefined ? phones.isError : phonesTell(view, phones.data),
  };
  return (
    <>
      <div className="head casehead">
        <div>
          <Beside id={claim.id} />
          <h1>
            <span className="figures">{claim.number === null ? 'Draft' : showClaimNumber(claim.number)}</span>
          </h1>
          <p>
            {line.model} · {GROUND_WORDS[claim.ground]}
            {claim.returnReason === null ? '' : ` (${claim.returnReason})`} · {line.retailer}
          </p>
        </div>
        <div className="row">
          <Mark {...stateMark(claim.state, line.outcome, line.awaitingSecondPerson)} />
          <Due view={view} />
          <CaseTaker view={view} />
          <PrintButton />
        </div>
      </div>
      <nav className="places noprint" aria-label="Parts of the case">
        {PLACES.filter(([id]) => there[id] !== false).map(([id, says]) => (
          <a key={id} href={`#${id}`}>
            {says}
          </a>
        ))}
      </nav>
    </>
  );
}

/** The queue that the case was opened from, and the cases before and after it there. */
function Beside({ id }: { readonly id: string }): ReactNode {
  const { before, next, place } = neighboursOf(id);
  return (
    <p className="row beside noprint">
      <Link to="/" search={lastSearch()}>
        Queue
      </Link>
      {before === undefined ? null : (
        <Link to="/claims/$id" params={{ id: before }} preload={false}>
          Case before <kbd aria-hidden="true">[</kbd>
        </Link>
      )}
      {next === undefined ? null : (
        <Link to="/claims/$id" params={{ id: next }} preload={false}>
          {place === undefined ? 'First of the queue' : 'Next case'} <kbd aria-hidden="true">]</kbd>
        </Link>
      )}
      {place === undefined ? null : (
        <span className="quiet">
          {place.n} of {place.of}
        </span>
      )}
    </p>
  );
}

function Due({ view: { claim, now } }: { readonly view: CaseData }): ReactNode {
  if (claim.dueAt === null) return null;
  const due = dueIn(claim.dueAt, now);
  const says = `${sentenceCase((claim.dueClock ?? 'due').replaceAll('-', ' '))} ${due.says}`;
  return due.late ? (
    <Mark shape="triangle" tone="bad" says={says} />
  ) : (
    <Mark shape="half" tone={due.soon ? 'warn' : 'plainly'} says={says} />
  );
}

/** Prints the file with its photos in a size that shows something. */
function PrintButton(): ReactNode {
  const [fetching, setFetching] = useState(false);
  const print = async (): Promise<void> => {
    setFetching(true);
    await largePhotos();
    setFetching(false);
    globalThis.print();
  };
  return (
    <button type="button" className="noprint" disabled={fetching} onClick={() => void print()}>
      {fetching ? 'Fetching the photos…' : 'Print'}
    </button>
  );
}

/** Small pictures are enough on the screen; paper wants the larger ones. One that does not come is printed small. */
async function largePhotos(): Promise<void> {
  const pictures = [...document.querySelectorAll<HTMLImageElement>('img[data-large]')];
  await Promise.all(
    pictures.map(async (picture) => {
      const large = picture.dataset['large'];
      if (large === undefined) return;
      picture.loading = 'eager';
      picture.src = large;
      await picture.decode().catch(() => undefined);
    }),
  );
}
