import { useApp } from '../app-state.js';
import { takeNewVersion } from '../engine.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import { isHard } from '../send/drain.js';
import { Note } from './frame.js';

/** What waits for a person, in a sentence each; and a new version, where no work is in hand. */
export function Owed() {
  const { lang, owed, newVersion } = useApp();
  const w = sayer(lang);
  const hard = owed.filter(isHard);
  const codes = new Set(hard.map(({ trouble, kind }) => sentenceFor(trouble?.status ?? 0, kind)));
  return (
    <>
      {[...codes].map((word) => (
        <Note tone="warn" title={w('needsYou')} key={word}>
          <p>{w(word)}</p>
          {word === 'linkExpired' ? null : (
            <p class="said">{w('whatTheySay', hard.find(({ trouble }) => trouble?.says)?.trouble?.says ?? '')}</p>
          )}
        </Note>
      ))}
      {newVersion && owed.length === 0 ? (
        <Note tone="info" title={w('newVersion')}>
          <button onClick={() => void takeNewVersion()}>{w('takeNew')}</button>
        </Note>
      ) : null}
    </>
  );
}

function sentenceFor(status: number, kind: string): CrewWord {
  if (status === 401 || status === 403) return 'linkExpired';
  return kind === 'photo' ? 'photoRefused' : 'refusedByOffice';
}
