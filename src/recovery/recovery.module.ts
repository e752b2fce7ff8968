import { Module } from '@nestjs/common';

/** Wiring only. The pure rules are in domain/; what they need of the database comes with the work that uses them. */
@Module({})
export class RecoveryModule {}
