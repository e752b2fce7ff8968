import type { ReactNode } from 'react';
import type { Picture } from './pictures.js';
import type { ViewHands } from './use-photo-view.js';

interface ToolsProps {
  readonly hands: ViewHands;
  readonly acts: { readonly next: () => void; readonly mark: () => void; readonly full: () => void };
  readonly full: boolean;
  readonly pictures: readonly Picture[];
  readonly laid: { readonly left: number; readonly right: number | undefined };
  readonly lay: (side: 'left' | 'right', index: number) => void;
}

/** Every key of the table as a button, and which two photos lie on it. */
export function PhotoTools({ hands, acts, full, pictures, laid, lay }: ToolsProps): ReactNode {
  const tools: readonly (readonly [says: string, key: string, act: () => void])[] = [
    ['Closer', '+', () => hands.zoom(1.3)],
    ['Further', '\u2212', () => hands.zoom(1 / 1.3)],
    ['Whole', '0', hands.whole],
    ['Turn', 'r', hands.turn],
    [['Brighter', 'Brighter still', 'As taken'][hands.view.light] ?? 'Brighter', 'b', hands.light],
    ['Mark', 'm', acts.mark],
    ['Next pair', 'c', acts.next],
    [full ? 'Back to the case' : 'Whole window', full ? 'Esc' : 'l', acts.full],
  ];
  return (
    <div className="tools noprint">
      <div className="row" role="group" aria-label="Both photos">
        {tools.map(([says, key, act], index) => (
          // The last is the same button under another name, and keeps the focus.
          <button key={index} type="button" className="tool" onClick={act}>
            {says} <kbd aria-hidden="true">{key}</kbd>
          </button>
        ))}
      </div>
      <div className="row laid">
        <Which id="laid-left" label="Left" pictures={pictures} at={laid.left} lay={(index) => lay('left', index)} />
        {pictures.length < 2 ? null : (
          <Which
            id="laid-right"
            label="Right"
            pictures={pictures}
            at={laid.right}
            lay={(index) => lay('right', index)}
          />
        )}
      </div>
    </div>
  );
}

interface WhichProps {
  readonly id: string;
  readonly label: string;
  readonly pictures: readonly Picture[];
  readonly at: number | undefined;
  readonly lay: (index: number) => void;
}

function Which({ id, label, pictures, at, lay }: WhichProps): ReactNode {
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      <select
        id={id}
        value={at === undefined ? '' : String(at)}
        onChange={(event) => lay(Number(event.currentTarget.value))}
      >
        {at === undefined ? <option value="">Nothing</option> : null}
        {pictures.map(({ id: photo, n, about, shows, earlier }, index) => (
          <option key={photo} value={String(index)}>
            {n}. {earlier === undefined ? '' : `Claim ${earlier}: `}
            {shows} · {about}
          </option>
        ))}
      </select>
    </div>
  );
}
