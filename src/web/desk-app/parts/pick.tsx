import type { ReactNode } from 'react';

interface PickProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly onPick: (value: string) => void;
  readonly options: readonly (readonly [value: string, says: string])[];
}

/** A choice that takes effect at once. */
export function Pick({ id, label, value, onPick, options }: PickProps): ReactNode {
  return (
    <div className="field short">
      <label htmlFor={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onPick(event.currentTarget.value)}>
        {options.map(([each, says]) => (
          <option key={each} value={each}>
            {says}
          </option>
        ))}
      </select>
    </div>
  );
}
