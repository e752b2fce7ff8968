import { ExhibitMarkRow, ExhibitMarkWithdrawalRow } from './exhibit-mark.entity.js';
import { ExhibitRenditionRow, ExhibitRow } from './exhibit.entity.js';

/** Every entity of this module, for the data source. */
export const EVIDENCE_ENTITIES = [ExhibitRow, ExhibitRenditionRow, ExhibitMarkRow, ExhibitMarkWithdrawalRow];
