import { useQueryClient } from '@tanstack/react-query';
import { useEffect, useState } from 'react';

export type Line = 'live' | 'connecting' | 'cut';

/** What the service says has changed; ids only, so that everybody reads it anew with their own rights. */
interface Change {
  readonly kind: string;
  readonly id: string;
}

/** Listens for changes and lets what is shown be read again. @returns how the line stands */
export function useLive(): Line {
  const queries = useQueryClient();
  const [line, setLine] = useState<Line>('connecting');
  useEffect(() => {
    const source = new EventSource('/desk-data/changes');
    let wasCut = false;
    source.addEventListener('open', () => {
      setLine('live');
      // What changed while the line was cut was not heard.
      if (wasCut) void queries.invalidateQueries();
      wasCut = false;
    });
    source.addEventListener('error', () => {
      wasCut = true;
      setLine('cut');
    });
    source.addEventListener('change', (event: MessageEvent<string>) => {
      const { kind, id } = JSON.parse(event.data) as Change;
      void queries.invalidateQueries({ queryKey: [kind, id] });
      void queries.invalidateQueries({ queryKey: [`${kind}s`] });
    });
    return () => source.close();
  }, [queries]);
  return line;
}
