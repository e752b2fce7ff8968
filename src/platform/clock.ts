import { Injectable } from '@nestjs/common';

/** What time it is. Passed in everywhere, so that tests can move it; the domain never asks, it is told. */
@Injectable()
export class Clock {
  now(): Temporal.Instant {
    return Temporal.Now.instant();
  }
}

/** A clock that stands still until it is moved. For tests and for replaying old cases. */
export class StandingClock extends Clock {
  constructor(private at: Temporal.Instant) {
    super();
  }

  override now(): Temporal.Instant {
    return this.at;
  }

  moveTo(at: Temporal.Instant): void {
    this.at = at;
  }

  advance(by: Temporal.DurationLike): void {
    this.at = this.at.add(by);
  }
}
