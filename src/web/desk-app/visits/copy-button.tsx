import { useState, type ReactNode } from 'react';

type Copied = 'not yet' | 'done' | 'refused';

const SAYS: Readonly<Record<Copied, string>> = {
  'not yet': '',
  done: 'Copied.',
  refused: 'The browser does not let this page copy. Mark the text and copy it by hand.',
};

/** Copies a text and says whether it did. */
export function CopyButton({ text, what }: { readonly text: string; readonly what: string }): ReactNode {
  const [copied, setCopied] = useState<Copied>('not yet');
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(text);
      setCopied('done');
    } catch {
      setCopied('refused');
    }
  };
  return (
    <span className="row">
      <button type="button" onClick={() => void copy()}>
        Copy {what}
      </button>
      <span role="status">{SAYS[copied]}</span>
    </span>
  );
}
