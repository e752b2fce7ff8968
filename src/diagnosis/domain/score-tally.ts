import type { Finding } from '../diagnosis.contract.js';
import type { Confusion, Kappa, Scores } from '../learning.contract.js';
import { COMPONENTS, ORIGINS } from '../../kernel/vocabulary.js';
import { cohensKappa, shareOf, type Cell } from './agreement.js';
import { BrierTally } from './brier-tally.js';

/** One finding of a model beside the explanation that people settled on. */
export interface ScoredCase {
  /** Code of the model, because explanation ids are its own. */
  readonly model: string;
  readonly finding: Finding;
  readonly settled: string;
  readonly named: boolean;
}

/** Adds up cases one by one, in memory that depends on the model and not on the number of cases. */
export class ScoreTally {
  private cases = 0;
  private right = 0;
  private squares = 0;
  private toAPerson = 0;
  private rightWhenSettled = 0;
  private readonly leading = new BrierTally();
  private readonly explanations = new CellCounts();
  private readonly components = new CellCounts();
  private readonly origins = new CellCounts();

  /** @param hasBar whether the finding's verdict rests on a bar that somebody set */
  constructor(private readonly hasBar: boolean) {}

  /** @throws RangeError when the settled explanation is not one of the finding's */
  add({ model, finding, settled }: ScoredCase): void {
    const truth = finding.explanations.find(({ id }) => id === settled);
    const best = finding.explanations[0];
    if (truth === undefined || best === undefined)
      throw new RangeError(`"${settled}" is not among the explanations of "${finding.subject}"`);
    const isRight = best.id === settled;
    this.cases += 1;
    if (isRight) this.right += 1;
    for (const { id, probability } of finding.explanations) this.squares += (probability - Number(id === settled)) ** 2;
    this.leading.add(best.probability, isRight);
    this.explanations.add(`${model}/${settled}`, `${model}/${best.id}`);
    this.components.add(truth.component, finding.components[0]?.component ?? best.component);
    this.origins.add(truth.origin, finding.origins[0]?.origin ?? best.origin);
    if (finding.verdict === 'to a person') this.toAPerson += 1;
    else if (isRight) this.rightWhenSettled += 1;
  }

  scores(): Scores {
    const parts = this.leading.parts() ?? null;
    return {
      cases: this.cases,
      accuracy: shareOf(this.right, this.cases) ?? null,
      brier: parts === null ? null : { allExplanations: this.squares / this.cases, leadingExplanation: parts.score },
      parts,
      reliability: this.leading.rows(),
      components: this.components.confusion(COMPONENTS),
      origins: this.origins.confusion(ORIGINS),
      kappa: {
        explanations: this.explanations.kappa(),
        components: this.components.kappa(),
        origins: this.origins.kappa(),
      },
      abstention: this.abstention(),
    };
  }

  private abstention(): Scores['abstention'] {
    const toAPerson = shareOf(this.toAPerson, this.cases);
    if (!this.hasBar || toAPerson === undefined) return null;
    return { toAPerson, rightWhenSettled: shareOf(this.rightWhenSettled, this.cases - this.toAPerson) ?? null };
  }
}

/** How often each class was settled where each was proposed. */
class CellCounts {
  private readonly counts = new Map<string, Map<string, number>>();

  add(settled: string, proposed: string): void {
    const row = this.counts.get(settled) ?? new Map<string, number>();
    row.set(proposed, (row.get(proposed) ?? 0) + 1);
    this.counts.set(settled, row);
  }

  confusion<Label extends string>(labels: readonly Label[]): Confusion<Label> {
    return {
      labels,
      counts: labels.map((settled) => labels.map((proposed) => this.counts.get(settled)?.get(proposed) ?? 0)),
    };
  }

  kappa(): Kappa | null {
    const cells: Cell[] = [...this.counts].flatMap(([row, columns]) =>
      [...columns].map(([column, count]) => ({ row, column, count })),
    );
    return cohensKappa(cells) ?? null;
  }
}
