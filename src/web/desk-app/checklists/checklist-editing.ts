import type { Checklist } from '../../../inspections/inspections.contract.js';
import { useEditing } from '../parts/editing.js';

/** The checklist that is being changed around a field. */
export function useChecklistEditing() {
  const { document: checklist, faults, edit } = useEditing<Checklist>();
  return { checklist, faults, edit };
}
