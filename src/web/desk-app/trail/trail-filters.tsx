import { useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import type { Act } from '../../../access/access.contract.js';
import { sentenceCase } from '../../domain/trade-words.js';
import type { TrailWish } from '../api/trail.js';
import { Choose, Field, TextLine } from '../parts/fields.js';
import { TRAIL_KINDS } from './trail-kinds.js';

interface TrailFiltersProps {
  readonly wish: TrailWish;
  /** What the person may do: only those histories are offered that are theirs to read. */
  readonly acts: readonly Act[];
}

/** Narrows the trail by person, kind, claim and days. */
export function TrailFilters({ wish, acts }: TrailFiltersProps): ReactNode {
  const navigate = useNavigate();
  const open = TRAIL_KINDS.filter(({ act }) => acts.includes(act));
  return (
    <form
      // Other filters, as from a link or a key, begin the form anew.
      key={JSON.stringify([wish, open.length])}
      className="row filters noprint"
      role="search"
      aria-label="Trail"
      onSubmit={(event) => {
        event.preventDefault();
        const typed = [...new FormData(event.currentTarget)].flatMap(([name, value]) =>
          typeof value === 'string' && value.trim() !== '' ? [[name, value.trim()] as const] : [],
        );
        void navigate({ to: '/trail', search: Object.fromEntries(typed) });
      }}
    >
      <TextLine id="who" name="who" label="Who, part of the name" type="search" max={100} value={wish.who} short />
      <Choose
        id="source"
        name="source"
        label="Done to"
        none="Everything"
        short
        value={wish.source}
        options={open.map(({ source }) => [source, sentenceCase(source)] as const)}
      />
      <Field id="kind" name="kind" label="What" short>
        <select id="kind" name="kind" defaultValue={wish.kind}>
          <option value="">Everything</option>
          {open.map(({ source, kinds }) => (
            <optgroup key={source} label={sentenceCase(source)}>
              {kinds.map((kind) => (
                <option key={kind} value={kind}>
                  {sentenceCase(kind.replaceAll('-', ' '))}
                </option>
              ))}
            </optgroup>
          ))}
        </select>
      </Field>
      <TextLine id="claim" name="claim" label="Claim number" type="search" max={40} value={wish.claim} short />
      <TextLine id="from" name="from" label="From" type="date" value={wish.from} short />
      <TextLine id="to" name="to" label="To, with that day" type="date" value={wish.to} short />
      <button className="go">Show</button>
      <button type="button" onClick={() => void navigate({ to: '/trail', search: {} })}>
        Show everything
      </button>
    </form>
  );
}
