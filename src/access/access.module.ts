import { Global, Module } from '@nestjs/common';
import { APP_GUARD } from '@nestjs/core';
import { AccessService } from './access.service.js';
import { ApiKeysService } from './api-keys.service.js';
import { CompaniesService } from './companies.service.js';
import { CredentialsService } from './credentials.service.js';
import { ApiKeysController } from './http/api-keys.controller.js';
import { AuthGuard } from './http/auth.guard.js';
import { CarriersController, RetailersController } from './http/companies.controller.js';
import { PeopleController } from './http/people.controller.js';
import { SessionsController } from './http/sessions.controller.js';
import { VisitLinksController } from './http/visit-links.controller.js';
import { OwnCompanyService } from './own-company.service.js';
import { PeopleService } from './people.service.js';
import { SignInService } from './sign-in.service.js';
import { AccessEventStore } from './store/access-event.store.js';
import { ACCESS_ENTITIES } from './store/access.entities.js';

export { ACCESS_ENTITIES };

/** Who gets in and what they may do. Global, because every route stands behind its guard. */
@Global()
@Module({
  controllers: [
    SessionsController,
    VisitLinksController,
    PeopleController,
    ApiKeysController,
    RetailersController,
    CarriersController,
  ],
  providers: [
    AccessEventStore,
    AccessService,
    ApiKeysService,
    CompaniesService,
    CredentialsService,
    OwnCompanyService,
    PeopleService,
    SignInService,
    { provide: APP_GUARD, useClass: AuthGuard },
  ],
  exports: [
    AccessService,
    ApiKeysService,
    CompaniesService,
    CredentialsService,
    OwnCompanyService,
    PeopleService,
    SignInService,
  ],
})
export class AccessModule {}
