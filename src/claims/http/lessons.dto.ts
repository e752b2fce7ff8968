import { DocumentVersion } from '../../platform/documents/document-version.dto.js';
import { DateField, NestedField, NumberField, TextField, WholeField } from '../../platform/http/fields.js';

/** How learning is to be done. */
export class LessonsDraftBody {
  @NumberField({ min: 0.001, max: 1e9, description: 'As how many decided claims the priors of a subject count.' })
  priorClaims: number;

  @NumberField({ min: 0.001, max: 1e9, description: 'As how many checked claims each likelihood counts.' })
  likelihoodClaims: number;

  @DateField({ description: 'The day on which somebody chose these two numbers.' })
  statedOn: string;

  @DateField({ optional: true, description: 'Only claims decided on this local date or later.' })
  from?: string;

  @DateField({ optional: true, description: 'Only claims decided on this local date or earlier.' })
  until?: string;
}

/** What was read, and what of it could be used. */
export class LessonTallyView {
  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER })
  read: number;

  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER, description: 'Settled at least one subject of the model.' })
  used: number;

  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER, description: 'Of the used ones, those named by a person.' })
  named: number;

  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER })
  otherModels: number;

  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER, description: 'Explanations that the model does not have.' })
  unknownExplanations: number;
}

/** The draft that was learnt. */
export class LessonsDraft extends DocumentVersion {
  @WholeField({ min: 1, max: 2_147_483_647, description: 'The published version that it was learnt on.' })
  learntOn: number;

  @NestedField(() => LessonTallyView)
  lessons: LessonTallyView;

  @WholeField({ min: 0, max: Number.MAX_SAFE_INTEGER, description: 'How many numbers changed.' })
  changed: number;
}

/** What is to be reported. */
export class LessonsReportQuery {
  @WholeField({
    min: 1,
    max: 2_147_483_647,
    optional: true,
    description: 'Another version, scored on the same claims.',
  })
  challenger?: number;

  @TextField({ max: 80, optional: true, description: 'Policy by code or code/version; its bar decides what abstains.' })
  policy?: string;

  @DateField({ optional: true, description: 'The day for the parameters of the policy.' })
  on?: string;

  @DateField({ optional: true, description: 'Only claims decided on this local date or later.' })
  from?: string;

  @DateField({ optional: true, description: 'Only claims decided on this local date or earlier.' })
  until?: string;
}
