import type { CaseData } from '../case-data.js';
import type { ClaimAct } from '../domain/claim-acts.js';
import type { Form, Trouble } from '../form-fields.js';
import type { Onlooker } from './layout.js';

export type { CaseInspection, Claim } from '../case-data.js';

/** Everything that stands on the page of a case, with who looks at it and what they tried. */
export interface CaseView extends CaseData {
  readonly onlooker: Onlooker;
  readonly tried?: { readonly act: ClaimAct; readonly form: Form; readonly trouble: Trouble } | undefined;
}
