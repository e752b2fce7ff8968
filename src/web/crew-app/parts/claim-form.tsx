import { useState } from 'preact/hooks';
import type { ClaimWords } from '../actions.js';
import { useApp } from '../app-state.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import type { Inspection } from '../walk/inspection.js';
import { fieldOf, instantOf } from '../walk/times.js';
import { Box, Moment, Picks } from './fields.js';
import { Note } from './frame.js';

const KINDS = ['visible', 'concealed', 'doa', 'shortage', 'warranty'] as const;
type Kind = (typeof KINDS)[number];

const GROUNDS: Readonly<Record<Kind, string>> = {
  visible: 'damage',
  concealed: 'damage',
  doa: 'dead on arrival',
  shortage: 'shortage',
  warranty: 'warranty',
};
/** What the words of a damage claim begin with, since both kinds of damage are one ground. */
const SEEN: Readonly<Partial<Record<Kind, string>>> = {
  visible: 'Seen before the carton was opened.',
  concealed: 'Found after the carton was opened.',
};
const WISHES = ['', 'refund', 'allowance', 'part', 'unit', 'visit'] as const;
type Wish = (typeof WISHES)[number];

/** The longest text beside what is put before it. */
const LONGEST = 1900;

/** What the claim says beyond the checks. What was typed stays where something is missing. */
export function ClaimForm(props: {
  readonly of: Inspection;
  /** Checks or photos are missing, so a reason is needed. */
  readonly missing: boolean;
  readonly onSend: (said: ClaimWords) => Promise<void>;
}) {
  const { lang } = useApp();
  const w = sayer(lang);
  const [kind, setKind] = useState<Kind | undefined>();
  const [wish, setWish] = useState<Wish>('');
  const [at, setAt] = useState(fieldOf(Date.now()));
  const [words, setWords] = useState('');
  const [reason, setReason] = useState('');
  const [wrong, setWrong] = useState<Readonly<Record<string, CrewWord>>>({});
  const [busy, setBusy] = useState(false);
  const says = (name: string): string | undefined => (wrong[name] === undefined ? undefined : w(wrong[name]));
  const send = (event: Event): void => {
    event.preventDefault();
    const noticedAt = instantOf(at, Date.now());
    const faults: Record<string, CrewWord> = {
      ...(kind === undefined ? { kind: 'needKind' } : {}),
      ...(noticedAt === undefined ? { at: 'needTime' } : {}),
      ...(props.missing && reason.trim() === '' ? { reason: 'needReason' } : {}),
    };
    setWrong(faults);
    if (kind === undefined || noticedAt === undefined || Object.keys(faults).length > 0) return;
    const text = [SEEN[kind], words.trim()].filter((each) => each !== undefined && each !== '').join('\n');
    setBusy(true);
    props
      .onSend({
        ground: GROUNDS[kind],
        noticedAt,
        ...(wish === '' ? {} : { wish }),
        ...(text === '' ? {} : { words: text }),
        ...(reason.trim() === '' ? {} : { reason: reason.trim() }),
      })
      .catch(() => {
        setBusy(false);
        setWrong({ store: 'notKept' });
      });
  };
  return (
    <section class="sheet">
      <form class="stack" onSubmit={send} noValidate>
        <Picks
          name="kind"
          legend={w('what')}
          options={KINDS.map((each) => [each, w(each)] as const)}
          value={kind}
          wrong={says('kind')}
          onPick={setKind}
        />
        <Moment id="noticed" label={w('noticed')} value={at} wrong={says('at')} onType={setAt} />
        <div class="field">
          <label for="wish">{w('wish')}</label>
          <select id="wish" value={wish} onChange={({ currentTarget }) => setWish(currentTarget.value as Wish)}>
            {WISHES.map((each) => (
              <option value={each} key={each}>
                {w(each === '' ? 'wishNone' : each === 'visit' ? 'repair' : each)}
              </option>
            ))}
          </select>
        </div>
        <Box id="words" label={w('words')} value={words} max={LONGEST} onType={setWords} />
        {props.missing ? (
          <Box
            id="reason"
            label={w('missingWhy')}
            value={reason}
            rows={2}
            max={2000}
            wrong={says('reason')}
            onType={setReason}
          />
        ) : null}
        {Object.keys(wrong).length === 0 ? null : (
          <Note tone="bad" alert>
            <p>{w(Object.values(wrong)[0] ?? 'notKept')}</p>
          </Note>
        )}
        <button class="go big-go" disabled={busy}>
          {w('sendClaim')}
        </button>
      </form>
    </section>
  );
}
