import type { ReactNode } from 'react';
import { useOwingCount } from '../api/phones.js';

/** How many phones owe something, beside their door; nothing where none does. */
export function OwingCount(): ReactNode {
  const { data = 0 } = useOwingCount();
  return data === 0 ? null : (
    <span className="nums">
      {data}
      <span className="away"> owe something</span>
    </span>
  );
}
