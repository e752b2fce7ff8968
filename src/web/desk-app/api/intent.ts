import { useRef } from 'react';

/** Keys of intentions: the same wish sent again goes under the same key and is done once; another wish gets a new one. */
export function useIntent(): (wish: unknown) => string {
  const last = useRef({ wish: '', key: '' });
  return (wish) => {
    const written = JSON.stringify(wish);
    if (last.current.wish !== written) last.current = { wish: written, key: crypto.randomUUID() };
    return last.current.key;
  };
}
