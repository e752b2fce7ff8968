import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { useRecordsOf } from '../api/records.js';

/** Leads from a case to the record of its newest judgement; nothing where none is kept. */
export function RecordLink({ claim }: { readonly claim: string }): ReactNode {
  const { data } = useRecordsOf(claim);
  const newest = data?.at(-1);
  if (newest === undefined) return null;
  return (
    <p className="noprint">
      <Link to="/records/$id" params={{ id: newest.id }}>
        Why each rule fired, and why not another remedy
      </Link>
    </p>
  );
}
