import type { ReactNode } from 'react';

export function CasePage(): ReactNode {
  return <h1>Case</h1>;
}
