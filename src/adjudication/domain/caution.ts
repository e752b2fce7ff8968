const NOT_ADVICE =
  'Not legal advice: local law and the written warranty prevail. Ask a licensed professional before you rely on a date, a share or an amount.';

const HAZARD =
  'Keep away from moving parts, unplug the unit if that is safe, do not use it, and never open a motor, a supply or a battery.';

/** The caution that goes with an assessment: that it is no legal advice, what the policy adds, and what to do about a hazard. */
export function cautionFor(policyCaution: string, hazard: boolean): string {
  return [...(hazard ? [HAZARD] : []), NOT_ADVICE, policyCaution.trim()].filter((words) => words !== '').join(' ');
}
