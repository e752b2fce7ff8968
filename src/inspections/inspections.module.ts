import { Global, Module } from '@nestjs/common';
import { ChecklistsService } from './checklists.service.js';
import { ChecklistsController } from './http/checklists.controller.js';
import { InspectionsController } from './http/inspections.controller.js';
import { PhonesController } from './http/phones.controller.js';
import { UnitsController } from './http/units.controller.js';
import { VisitsController } from './http/visits.controller.js';
import { InspectionWalkService } from './inspection-walk.service.js';
import { InspectionsService } from './inspections.service.js';
import { PhoneFactHands } from './phone-fact-hands.js';
import { PhoneFactsService } from './phone-facts.service.js';
import { PhonesService } from './phones.service.js';
import { SettledAnswersService } from './settled-answers.service.js';
import { ChecklistVersionStore } from './store/checklist-version.store.js';
import { InspectionStore } from './store/inspection.store.js';
import { PhoneReadModel } from './store/phone.read-model.js';
import { PhoneStore } from './store/phone.store.js';
import { SettledAnswerStore } from './store/settled-answer.store.js';
import { UnitReadModel } from './store/unit.read-model.js';
import { VisitReadModel } from './store/visit.read-model.js';
import { VisitStore } from './store/visit.store.js';
import { UnitsService } from './units.service.js';
import { VisitsService } from './visits.service.js';

/** Global, because later modules import its services by contract, not its wiring. */
@Global()
@Module({
  controllers: [VisitsController, InspectionsController, ChecklistsController, PhonesController, UnitsController],
  providers: [
    ChecklistVersionStore,
    VisitStore,
    VisitReadModel,
    UnitReadModel,
    InspectionStore,
    ChecklistsService,
    InspectionsService,
    VisitsService,
    UnitsService,
    InspectionWalkService,
    PhoneStore,
    PhoneReadModel,
    SettledAnswerStore,
    PhoneFactHands,
    PhoneFactsService,
    PhonesService,
    SettledAnswersService,
  ],
  exports: [
    ChecklistsService,
    InspectionsService,
    VisitsService,
    InspectionWalkService,
    PhoneFactsService,
    PhonesService,
    SettledAnswersService,
  ],
})
export class InspectionsModule {}
