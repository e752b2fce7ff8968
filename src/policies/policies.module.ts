import { Global, Module } from '@nestjs/common';
import { PoliciesController } from './http/policies.controller.js';
import { PoliciesService } from './policies.service.js';
import { PolicyVersionStore } from './store/policy-version.store.js';

/** Global, because later modules import its service by contract, not its wiring. */
@Global()
@Module({
  controllers: [PoliciesController],
  providers: [PolicyVersionStore, PoliciesService],
  exports: [PoliciesService],
})
export class PoliciesModule {}
