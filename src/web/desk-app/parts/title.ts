import { useEffect } from 'react';

/** Names the page in the window and in the list of open tabs. */
export function useTitle(title: string): void {
  useEffect(() => {
    document.title = `${title} · As Noted`;
  }, [title]);
}
