import type { AnswerValue } from '../../../inspections/inspections.contract.js';
import type { CrewUnit } from '../../shared/crew-pack.js';
import { useApp } from '../app-state.js';
import { sayer } from '../words/sayer.js';

const MOST = 10_000;

/** Pieces against the packing list. A part that was left empty was not counted and stays out of the answer. */
export function Counts(props: {
  readonly unit: CrewUnit;
  readonly value: AnswerValue | undefined;
  readonly onChange: (value: AnswerValue | undefined) => void;
}) {
  const { unit, value } = props;
  const { lang } = useApp();
  const w = sayer(lang);
  const counted =
    typeof value === 'object' && value !== null && !Array.isArray(value)
      ? (value as Readonly<Record<string, number>>)
      : {};
  const set = (part: string, pieces: number | undefined): void => {
    const { [part]: _before, ...rest } = counted;
    const next = pieces === undefined ? rest : { ...rest, [part]: Math.max(0, Math.min(MOST, pieces)) };
    props.onChange(Object.keys(next).length === 0 ? undefined : next);
  };
  return (
    <div class="parts">
      <p class="quiet">{w('countHint')}</p>
      {unit.packingList.map(({ part, pieces }, index) => {
        const title = unit.partTitles[part] ?? part;
        const now = counted[part];
        return (
          <div class="part" key={part}>
            <label for={`part-${index}`}>
              {title}
              <span class="said">
                <span class="nums">{part}</span> · {w('unitNo', pieces)}
              </span>
            </label>
            <div class="stepper">
              <button aria-label={w('minusOne', title)} onClick={() => set(part, (now ?? pieces) - 1)}>
                −
              </button>
              <input
                id={`part-${index}`}
                value={now ?? ''}
                inputMode="numeric"
                autocomplete="off"
                maxLength={5}
                class={now !== undefined && now < pieces ? 'short' : undefined}
                onInput={({ currentTarget }) =>
                  set(part, /^\d{1,5}$/.test(currentTarget.value) ? Number(currentTarget.value) : undefined)
                }
              />
              <button aria-label={w('plusOne', title)} onClick={() => set(part, now === undefined ? pieces : now + 1)}>
                +
              </button>
            </div>
          </div>
        );
      })}
    </div>
  );
}
