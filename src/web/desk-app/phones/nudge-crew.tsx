import { useState, type ReactNode } from 'react';
import { nudgeWords } from '../../domain/nudge-words.js';
import type { PhoneLine } from '../api/phones.js';
import { useCrewLinks, useLinking } from '../api/visits.js';
import { TroubleNote } from '../parts/fields.js';
import { Note, Time } from '../parts/parts.js';
import { CopyButton } from '../visits/copy-button.js';

const HOURS = 72;

/** Makes a new link to the visit and the message that goes with it. The service sends no messages itself: a person does. */
export function NudgeCrew({ phone }: { readonly phone: PhoneLine }): ReactNode {
  const [open, setOpen] = useState(false);
  return (
    <details open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Write to the crew</summary>
      {open ? <Nudge phone={phone} /> : null}
    </details>
  );
}

function Nudge({ phone }: { readonly phone: PhoneLine }): ReactNode {
  const links = useCrewLinks(phone.visit);
  const { making, trouble } = useLinking(phone.visit);
  const made = making.data;
  const newest = links.data?.items.find(({ endedAt }) => endedAt === undefined);
  return (
    <div className="stack">
      <p>
        The phone sends when the visit is opened on it where it has a signal. Links are kept without their secret, so
        the old one cannot be shown again; a new one opens the same visit, and everything that is on the phone goes out
        under it.
      </p>
      {newest === undefined || made !== undefined ? null : (
        <p className="quiet">
          The newest link is of <Time at={newest.createdAt} />, for {newest.crewName}, and works until{' '}
          <Time at={newest.expiresAt} />.
        </p>
      )}
      <TroubleNote trouble={trouble} />
      {made === undefined ? (
        <p>
          <button
            type="button"
            className="go"
            disabled={making.isPending}
            onClick={() => making.mutate({ crewName: phone.crew, hours: HOURS })}
          >
            {making.isPending ? 'Sending…' : `Make a new link for ${phone.crew}`}
          </button>
        </p>
      ) : (
        <div role="status">
          <Messages phone={phone} link={made.url} until={made.expiresAt} />
        </div>
      )}
    </div>
  );
}

function Messages(props: { readonly phone: PhoneLine; readonly link: string; readonly until: string }): ReactNode {
  const { en, es } = nudgeWords(props.phone, props.link);
  return (
    <Note tone="ok" title="Send one of these to the crew. They are shown only now.">
      {(
        [
          ['en', 'English', en],
          ['es', 'Español', es],
        ] as const
      ).map(([lang, language, message]) => (
        <div key={lang} className="tight">
          <p lang={lang} className="secret">
            {message}
          </p>
          <CopyButton text={message} what={`the message, ${language}`} />
        </div>
      ))}
      <p>
        The link works until <Time at={props.until} />.
      </p>
    </Note>
  );
}
