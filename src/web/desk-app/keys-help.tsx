import { useState, type ReactNode } from 'react';
import { keysAreOn, turnKeys } from './keys.js';
import { Dialog } from './parts/dialog.js';

const GROUPS: readonly { readonly where: string; readonly keys: readonly (readonly [string, string])[] }[] = [
  {
    where: 'Everywhere',
    keys: [
      ['?', 'these keys'],
      ['/', 'find a claim'],
      ['g then q', 'queue'],
      ['g then m', 'my cases'],
      ['g then p', 'policies'],
      ['g then e', 'evidence models'],
      ['g then r', 'recoveries'],
      ['g then d', 'what is due'],
      ['g then v', 'visits'],
      ['g then f', 'figures'],
      ['g then h', 'phones that owe'],
      ['g then t', 'trail'],
    ],
  },
  { where: 'Figures', keys: [['n', 'numbers on and off']] },
  {
    where: 'Queue',
    keys: [
      ['j', 'next claim'],
      ['k', 'claim before'],
      ['Enter', 'open it'],
      ['x', 'pick it, to go through the picked ones'],
      ['t', 'take it or the picked ones; put back what is mine'],
      ['v', 'next view'],
    ],
  },
  {
    where: 'Case',
    keys: [
      ['[ and ]', 'case before and next'],
      ['1 to 9', 'photo'],
      ['c', 'next pair of photos'],
      ['d', 'agree with the proposal'],
      ['o', 'decide otherwise'],
      ['a', 'ask for information'],
      ['n', 'write a note'],
      ['t', 'take the case, or put it back'],
      ['w', 'jump to the reasons'],
      ['Escape', 'back to the queue'],
    ],
  },
  {
    where: 'Evidence model',
    keys: [
      ['[ and ]', 'part before and next'],
      ['j', 'next sign'],
      ['k', 'sign before'],
      ['Ctrl and S', 'save the draft'],
    ],
  },
  {
    where: 'Policies',
    keys: [['r', 'rehearse the version']],
  },
  {
    where: 'Sheet of a policy',
    keys: [
      ['arrows', 'move; Home, End and Ctrl lead further'],
      ['Enter or F2', 'write in the cell, as does any letter'],
      ['Escape', 'put back what was there'],
      ['Tab', 'keep it, next cell'],
      ['Delete', 'empty the cell'],
      ['Alt and up or down', 'move the row'],
      ['Ctrl and Enter', 'row below'],
      ['Ctrl and Delete', 'take the row out'],
      ['Ctrl and Z, Y', 'take back, do again'],
      ['t', 'try a case'],
    ],
  },
  {
    where: 'Photos',
    keys: [
      ['+ and \u2212', 'closer, further'],
      ['0', 'whole picture'],
      ['arrows', 'move'],
      ['r', 'turn'],
      ['b', 'brighter'],
      ['l', 'the whole window, Escape back'],
      ['m', 'mark a place, arrows move it, Shift and arrows size it, Enter keeps it'],
    ],
  },
  {
    where: 'Checklists',
    keys: [['Alt and up or down', 'moves the check that one is in']],
  },
];

/** All keys, and the switch that turns them off. Every one of them has a button as well. */
export function KeysHelp({ opened, onClose }: { readonly opened: boolean; readonly onClose: () => void }): ReactNode {
  const [on, setOn] = useState(keysAreOn);
  return (
    <Dialog opened={opened} onClose={onClose} title="Keys">
      <div className="keys">
        {GROUPS.map(({ where, keys }) => (
          <section key={where}>
            <h3>{where}</h3>
            <dl>
              {keys.map(([key, does]) => (
                <div key={key}>
                  <dt>
                    <kbd>{key}</kbd>
                  </dt>
                  <dd>{does}</dd>
                </div>
              ))}
            </dl>
          </section>
        ))}
      </div>
      <label className="check">
        <input
          type="checkbox"
          checked={on}
          onChange={(event) => {
            turnKeys(event.currentTarget.checked);
            setOn(event.currentTarget.checked);
          }}
        />{' '}
        Single keys do something (turn this off if you speak to your computer)
      </label>
    </Dialog>
  );
}
