import { useEffect, useLayoutEffect, useRef, useState, type KeyboardEvent, type ReactNode } from 'react';
import type { GridColumn } from './grid-model.js';
import { completed, offered } from './offers.js';

/** What is wrong with a text, and from which to which character. */
export interface Wrong {
  readonly says: string;
  readonly from?: number | undefined;
  readonly to?: number | undefined;
}

/** Where it goes on after a text is kept; `leave`: the focus is elsewhere already. */
type Then = 'down' | 'next' | 'before' | 'stay' | 'leave';

/** A cell that is being typed in. */
export interface Editing {
  /** What stands there at first. */
  readonly text: string;
  /** Typing began with a key that replaced what was there, so that the caret belongs at the end. */
  readonly typed: boolean;
  /** Keeps the text. */
  readonly onKeep: (text: string, then: Then) => void;
  /** Puts back what was there. */
  readonly onPutBack: () => void;
  /** Looks at the text as it stands. */
  readonly check: (text: string) => Promise<Wrong | undefined>;
}

/** How long nothing must be typed before the text is looked at, in ms. */
const QUIET = 120;

interface EditorProps {
  readonly column: GridColumn;
  readonly label: string;
  readonly editing: Editing;
}

/** The field in a cell: Enter keeps and goes down, Tab keeps and goes on, Escape puts back; leaving it keeps it as well. */
export function CellEditor({ column, label, editing }: EditorProps): ReactNode {
  const [text, setText] = useState(editing.text);
  const [wrong, setWrong] = useState<Wrong>();
  const [picked, setPicked] = useState(-1);
  const field = useRef<HTMLInputElement & HTMLTextAreaElement>(null);
  const ended = useRef(false);
  const list = offered(column, text, editing.text);

  // In the same turn as the key that opened it: a frame later would lose the first letters of somebody quick.
  useLayoutEffect(() => {
    const of = field.current;
    of?.focus();
    if (editing.typed) of?.setSelectionRange(of.value.length, of.value.length);
    else of?.select();
  }, [editing]);
  useEffect(() => {
    let old = false;
    const later = setTimeout(() => {
      void editing.check(text).then((found) => {
        if (!old) setWrong(found);
      });
    }, QUIET);
    return () => {
      old = true;
      clearTimeout(later);
    };
  }, [editing, text]);

  const keep = (then: Then, written = text): void => {
    if (ended.current) return;
    ended.current = true;
    editing.onKeep(written, then);
  };
  const choose = (offer: string): void => {
    setText(completed(column, text, offer, editing.text));
    setPicked(-1);
    field.current?.focus();
  };
  const press = (event: KeyboardEvent): void => {
    event.stopPropagation();
    const pick = list[picked];
    if (event.key === 'Enter' && pick !== undefined) choose(pick);
    else if (event.key === 'Enter') keep(event.ctrlKey || event.metaKey ? 'stay' : 'down');
    else if (event.key === 'Tab') keep(event.shiftKey ? 'before' : 'next');
    else if (event.key === 'Escape') {
      ended.current = true;
      editing.onPutBack();
    } else if (event.key === 'ArrowDown' && list.length > 0) setPicked((picked + 1) % list.length);
    else if (event.key === 'ArrowUp' && list.length > 0)
      setPicked((Math.max(picked, 0) - 1 + list.length) % list.length);
    else return;
    event.preventDefault();
  };
  const common = {
    ref: field,
    'aria-label': label,
    'aria-describedby': 'cell-help',
    value: text,
    spellCheck: column.part === 'words',
    autoComplete: 'off',
    onChange: (event: { readonly currentTarget: { readonly value: string } }) => {
      setText(event.currentTarget.value.replaceAll('\n', ' '));
      setPicked(-1);
    },
    onBlur: () => keep('leave'),
    onKeyDown: press,
    ...(wrong === undefined ? {} : { 'aria-invalid': true as const }),
  };
  return (
    <>
      {column.offers === undefined ? (
        <textarea {...common} rows={1} />
      ) : (
        <input
          {...common}
          role="combobox"
          aria-expanded={list.length > 0}
          aria-autocomplete="list"
          aria-controls="cell-offers"
          {...(picked < 0 ? {} : { 'aria-activedescendant': `cell-offer-${picked}` })}
        />
      )}
      <Below anchor={field}>
        <p id="cell-help" className="cell-help">
          {wrong === undefined ? `Takes ${column.takes}.` : <WrongText text={text} wrong={wrong} />}
        </p>
        {list.length === 0 ? null : (
          <ul id="cell-offers" role="listbox" aria-label={`Values of ${column.head}`}>
            {list.map((offer, at) => (
              <li
                key={offer}
                id={`cell-offer-${at}`}
                role="option"
                aria-selected={picked === at}
                // The field keeps the focus, and with it what is typed.
                onPointerDown={(event) => event.preventDefault()}
                onClick={() => choose(offer)}
              >
                {offer}
              </li>
            ))}
          </ul>
        )}
      </Below>
    </>
  );
}

/** What is wrong, and the place in the text. */
export function WrongText({ text, wrong }: { readonly text: string; readonly wrong: Wrong }): ReactNode {
  const { says, from, to } = wrong;
  const part = from === undefined || to === undefined ? '' : text.slice(from, Math.max(to, from + 1));
  return (
    <span role="status" className="wrong">
      {says}
      {part === '' || from === undefined ? null : (
        <>
          {' '}
          It is about <code>{part}</code>, from character {from + 1}.
        </>
      )}
    </span>
  );
}

/** Beneath a field, above everything that scrolls. */
function Below({
  anchor,
  children,
}: {
  readonly anchor: { readonly current: HTMLElement | null };
  readonly children: ReactNode;
}): ReactNode {
  const box = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    const put = (): void => {
      const [at, of] = [anchor.current?.getBoundingClientRect(), box.current];
      if (at === undefined || of === null) return;
      const { offsetWidth: width, offsetHeight: height } = of;
      const fits = at.bottom + height < window.innerHeight || at.top < height;
      of.style.top = `${fits ? at.bottom : at.top - height}px`;
      of.style.left = `${Math.max(0, Math.min(at.left, document.documentElement.clientWidth - width))}px`;
    };
    put();
    window.addEventListener('scroll', put, true);
    window.addEventListener('resize', put);
    return () => {
      window.removeEventListener('scroll', put, true);
      window.removeEventListener('resize', put);
    };
  });
  return (
    <div className="cell-below" ref={box}>
      {children}
    </div>
  );
}
