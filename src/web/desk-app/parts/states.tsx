import type { ReactNode } from 'react';
import { Trouble } from '../api/http.js';

/** Shown while something is fetched; said to readers of screens once. */
export function Loading({ what }: { readonly what: string }): ReactNode {
  return (
    <p className="lead quiet" role="status">
      Fetching {what}…
    </p>
  );
}

/** Nothing is there, and what would bring something here. */
export function Empty({ children }: { readonly children: ReactNode }): ReactNode {
  return <p className="lead">{children}</p>;
}

/** Something went wrong: what, and what to do; nothing that was typed is touched by it. */
export function Failing({
  trouble,
  again,
}: {
  readonly trouble: unknown;
  readonly again?: (() => void) | undefined;
}): ReactNode {
  const { title, detail, signedOut } = inWords(trouble);
  return (
    <div className="note bad" role="alert">
      <p>
        <strong>{title}</strong> {detail}
      </p>
      <p className="row">
        {signedOut ? (
          <a href="/sign-in" target="_blank" rel="noreferrer">
            Sign in in another tab, then try again here
          </a>
        ) : null}
        {again ? (
          <button type="button" className="do" onClick={again}>
            Try again
          </button>
        ) : null}
      </p>
    </div>
  );
}

function inWords(trouble: unknown): { title: string; detail: string; signedOut: boolean } {
  if (trouble instanceof Trouble) {
    if (trouble.signedOut)
      return { title: 'Your session has ended.', detail: 'What you typed is kept on this page.', signedOut: true };
    return { title: trouble.title, detail: trouble.detail, signedOut: false };
  }
  return {
    title: 'This page has a fault.',
    detail: 'Load it again; if it stays so, tell your administrator what you did.',
    signedOut: false,
  };
}
