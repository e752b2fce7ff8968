import {
  DocumentField,
  InstantField,
  ListField,
  NestedField,
  OneOfField,
  TextField,
  UuidField,
  WholeField,
} from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';
import { TRAIL_SOURCES, type TrailSource } from '../trail.contract.js';

const MOST = 1_000_000_000;

/** Which entries are wanted. */
export class TrailQuery extends PageQuery {
  @OneOfField(TRAIL_SOURCES, { optional: true, description: 'Left out: everything that is yours to read.' })
  source?: TrailSource;

  @TextField({ max: 100, optional: true, description: 'Part of the name of whoever did it.' })
  who?: string;

  @TextField({ max: 60, optional: true, description: 'What was done, e.g. `claim-decided`.' })
  kind?: string;

  @TextField({ max: 40, optional: true, description: 'Number or id of a claim.' })
  claim?: string;

  @InstantField({ optional: true, description: 'Not before.' })
  from?: string;

  @InstantField({ optional: true, description: 'Before.' })
  to?: string;
}

/** The same as a file. */
export class TrailFileQuery extends TrailQuery {
  @OneOfField(['csv', 'json'], { optional: true, description: 'Left out: `csv`.' })
  format?: 'csv' | 'json';
}

/** From where on chains are walked. */
export class ChainsQuery {
  @UuidField({ optional: true, description: '`next` of the part before.' })
  after?: string;
}

/** Who did it. */
export class TrailActorDto {
  @OneOfField(['person', 'key', 'link', 'service'])
  kind: string;

  @TextField({ max: 100 })
  id: string;

  @TextField({ max: 200 })
  name: string;
}

/** One thing that somebody did. */
export class TrailEntryDto {
  @OneOfField(TRAIL_SOURCES)
  source: TrailSource;

  @UuidField({ description: 'What it was done to.' })
  about: string;

  @WholeField({ min: 1, max: MOST, description: 'Its number in the history of that thing.' })
  n: number;

  @TextField({ max: 60 })
  kind: string;

  @InstantField()
  at: string;

  @NestedField(() => TrailActorDto)
  actor: TrailActorDto;

  @TextField({ min: 0, max: 10_000, description: 'What people wrote or chose, as one line.' })
  words: string;

  @DocumentField({ description: 'Everything that was kept of it.' })
  body: Record<string, unknown>;

  @TextField({ max: 300, optional: true, description: 'What the thing is called.' })
  label?: string;

  @UuidField({ optional: true })
  claim?: string;

  @TextField({
    max: 64,
    optional: true,
    description: 'SHA-256 of the entry and the one before, where they are chained.',
  })
  hash?: string;
}

/** One page of the trail. */
export class TrailPageDto {
  @ListField(() => TrailEntryDto, { max: 200 })
  items: readonly TrailEntryDto[];

  @TextField({ max: 1000, optional: true })
  next?: string;
}

/** A chain that is not as it was written. */
export class ChainFaultDto {
  @UuidField()
  claim: string;

  @TextField({ max: 9, optional: true })
  number?: string;

  @WholeField({ min: 1, max: MOST })
  n: number;

  @TextField({ max: 600 })
  detail: string;
}

/** What walking some of the chains found. */
export class ChainsCheckedDto {
  @WholeField({ min: 0, max: MOST })
  claims: number;

  @WholeField({ min: 0, max: MOST })
  events: number;

  @ListField(() => ChainFaultDto, { max: MOST })
  faults: readonly ChainFaultDto[];

  @UuidField({ optional: true, description: 'Where the next part begins; absent at the end.' })
  next?: string;
}
