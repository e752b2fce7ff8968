import { ApiProperty } from '@nestjs/swagger';
import {
  DocumentField,
  InstantField,
  ListField,
  NestedField,
  OneOfField,
  TextField,
  TextListField,
  UuidField,
  ValueField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import type { AnswerValue, ChecklistItem, FoundAt } from '../inspections.contract.js';

const FOUND_AT = ['unboxing', 'assembly', 'use'] as const;
const ANSWER_VALUE = [
  { type: 'null', description: 'not checked' },
  { type: 'string', description: '"yes", "no", text or a scanned code' },
  { type: 'number' },
  { type: 'array', items: { type: 'string' }, description: 'choices or photos' },
  { type: 'object', additionalProperties: { type: 'integer' }, description: 'pieces by part number' },
];

/** An inspection to begin. */
export class InspectionBody {
  @UuidField({ description: 'Made on the phone; sending the same again is harmless.' })
  id: string;

  @TextField({ max: 64, description: 'As read off the unit; must be one of the visit.' })
  serial: string;

  @InstantField()
  startedAt: string;

  @WholeField({ min: 1, max: 10, optional: true, description: 'Absent: as planned.' })
  crewSize?: number;

  @OneOfField(FOUND_AT, { optional: true, description: 'Absent: unboxing.' })
  foundAt?: FoundAt;
}

/** One answer. */
export class AnswerBody {
  @TextField({ max: 100, description: 'Id of the checklist item.' })
  item: string;

  @ValueField(ANSWER_VALUE)
  value: AnswerValue;

  @TextField({ max: 2000, optional: true })
  note?: string;

  @InstantField({ description: 'When it was given; of one item the newest counts.' })
  answeredAt: string;
}

/** Answers to add: all of them or none. */
export class AnswersBody {
  @ListField(() => AnswerBody, { min: 1, max: 300 })
  answers: AnswerBody[];
}

/** How to close an inspection. */
export class CompletionBody {
  @YesNoField({ optional: true, description: 'Close it although something is missing; needs a reason.' })
  acceptGaps?: boolean;

  @TextField({ max: 2000, optional: true })
  reason?: string;
}

/** A sentence in the languages that there are. */
export class WordsView {
  @ApiProperty()
  en: string;

  @ApiProperty({ required: false })
  es?: string;
}

/** The newest answer of an item. */
export class AnswerView {
  @TextField({ max: 100 })
  item: string;

  @ValueField(ANSWER_VALUE)
  value: AnswerValue;

  @TextField({ max: 2000, optional: true })
  note?: string;
}

/** A photo that is still owed. */
export class OwedPhotoView {
  @TextField({ max: 100 })
  item: string;

  @TextField({ max: 100, description: 'Id of the demand: what the photo has to show.' })
  demand: string;

  @NestedField(() => WordsView, { optional: true })
  says?: WordsView;
}

/** A safety stop that an answer raised: what it says and what to do. */
export class StopView {
  @TextField({ max: 100 })
  stop: string;

  @NestedField(() => WordsView)
  says: WordsView;

  @ListField(() => WordsView, { max: 20 })
  do: readonly WordsView[];

  @InstantField()
  raisedAt: string;

  @InstantField({ optional: true, description: 'Absent while nobody has acknowledged it: the walk halts.' })
  acknowledgedAt?: string;

  @TextField({ max: 200, optional: true })
  acknowledgedBy?: string;
}

/** The unit in front of the crew. */
export class InspectedUnit {
  @UuidField()
  id: string;

  @TextField({ max: 64 })
  serial: string;

  @ApiProperty({
    type: 'array',
    items: { type: 'object', additionalProperties: true },
    description: 'Parts and pieces.',
  })
  packingList: readonly object[];
}

/** Which checklist, and what it says before the first item. */
export class ChecklistHead {
  @TextField({ max: 60 })
  code: string;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;

  @NestedField(() => WordsView)
  title: WordsView;

  @ListField(() => WordsView, {
    max: 50,
    description: 'Lifting, electricity, pinch points: said before the first item.',
  })
  cautions: readonly WordsView[];
}

/** An inspection as a list shows it. */
export class InspectionSummary {
  @UuidField()
  id: string;

  @UuidField()
  visit: string;

  @UuidField({ optional: true, description: 'Unit of the visit.' })
  unitId?: string;

  @OneOfField(['open', 'finished'])
  state: string;

  @InstantField()
  startedAt: string;

  @InstantField({ optional: true })
  finishedAt?: string;

  @TextField({ max: 2000, optional: true, description: 'Why it was closed with gaps.' })
  gapsReason?: string;

  @WholeField({ min: 1, max: 10 })
  crewSize: number;

  @OneOfField(FOUND_AT)
  foundAt: string;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;
}

/** An inspection: its checklist with the items asked so far, the answers, the photos owed and the stops. */
export class InspectionView extends InspectionSummary {
  @NestedField(() => InspectedUnit)
  unit: InspectedUnit;

  @NestedField(() => ChecklistHead)
  checklist: ChecklistHead;

  @ApiProperty({
    type: 'array',
    items: { type: 'object', additionalProperties: true },
    description:
      'Items asked with the answers so far, in the order of the work, as in the checklist document, with their `section`.',
  })
  asked: readonly (ChecklistItem & { readonly section: string })[];

  @ListField(() => AnswerView, { max: 1000 })
  answers: readonly AnswerView[];

  @ListField(() => OwedPhotoView, { max: 1000 })
  owedPhotos: readonly OwedPhotoView[];

  @ListField(() => StopView, { max: 100 })
  stops: readonly StopView[];
}

/** The inspections of a visit. */
export class InspectionList {
  @ListField(() => InspectionSummary, { max: 1000 })
  items: readonly InspectionSummary[];
}

/** What comes next in a walk. */
export class NextStepView {
  @OneOfField(['stop', 'item', 'photos', 'done'])
  kind: string;

  @NestedField(() => StopView, { optional: true, description: 'With `stop`: do this first.' })
  stop?: StopView;

  @DocumentField({
    optional: true,
    description: 'With `item`: the item as in the checklist document, with its `section`.',
  })
  item?: object;

  @TextListField({
    max: 100,
    length: 300,
    optional: true,
    description: 'With `item`: what the answer is for, observation ids.',
  })
  informs?: readonly string[];

  @ListField(() => OwedPhotoView, { max: 1000, optional: true, description: 'With `photos`: what is still owed.' })
  owedPhotos?: readonly OwedPhotoView[];
}
