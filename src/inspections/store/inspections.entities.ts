import { ChecklistVersionRow } from './checklist-version.entity.js';
import { InspectionAnswerRow, InspectionRow, SafetyStopRow } from './inspection.entity.js';
import { PhoneFactRow, PhoneRow } from './phone.entity.js';
import { SettledAnswerRow } from './settled-answer.entity.js';
import { VisitRow, VisitUnitRow } from './visit.entity.js';

/** Every entity of this module, for the data source. */
export const INSPECTION_ENTITIES = [
  ChecklistVersionRow,
  VisitRow,
  VisitUnitRow,
  InspectionRow,
  InspectionAnswerRow,
  SafetyStopRow,
  PhoneRow,
  PhoneFactRow,
  SettledAnswerRow,
];
