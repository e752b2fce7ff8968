import { useRef, type ReactNode } from 'react';
import { showTime, showWindow } from '../../domain/time-words.js';
import { useCrewLinks, useLinking, type CrewLink, type MadeLink, type Visit } from '../api/visits.js';
import { Choose, TextLine, TroubleNote } from '../parts/fields.js';
import { Note, Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { CodeOf } from './code-of.js';
import { CopyButton } from './copy-button.js';

const HOURS = [
  ['24', '1 day'],
  ['72', '3 days'],
  ['168', '1 week'],
] as const;

/** The links that let a crew into the visit: made, shown once, renewed, ended. */
export function CrewLinks({ visit, now }: { readonly visit: Visit; readonly now: string }): ReactNode {
  const found = useCrewLinks(visit.id);
  const linking = useLinking(visit.id);
  const { making, ending, trouble } = linking;
  const busy = making.isPending || ending.isPending;
  return (
    <section className="sheet stack" id="links">
      <h2>Links for the crew</h2>
      {making.data === undefined ? null : <Made made={making.data} visit={visit} />}
      <TroubleNote trouble={trouble} />
      {found.isPending ? <Loading what="the links" /> : null}
      {found.isError && found.data === undefined ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : null}
      {found.data?.items.length === 0 ? <p className="quiet">No crew can open this visit yet.</p> : null}
      <ul className="plain stack">
        {found.data?.items.map((link) => (
          <OneLink
            key={link.id}
            link={link}
            zone={visit.zone}
            over={link.endedAt !== undefined || link.expiresAt <= now}
            busy={busy}
            onRenew={() => making.mutate({ crewName: link.crewName, hours: 72, inPlaceOf: link.id })}
            onEnd={() => ending.mutate(link.id)}
          />
        ))}
      </ul>
      <NewLink linking={linking} />
    </section>
  );
}

interface OneLinkProps {
  readonly link: CrewLink;
  readonly zone: string;
  /** It opens nothing any more. */
  readonly over: boolean;
  readonly busy: boolean;
  readonly onRenew: () => void;
  readonly onEnd: () => void;
}

function OneLink({ link, zone, over, busy, onRenew, onEnd }: OneLinkProps): ReactNode {
  return (
    <li>
      <strong>{link.crewName}</strong>
      <span className="sub">
        {link.endedAt !== undefined
          ? `Ended ${showTime(link.endedAt, zone)}`
          : over
            ? `Expired ${showTime(link.expiresAt, zone)}`
            : `Works until ${showTime(link.expiresAt, zone)}`}
      </span>
      <span className="row">
        {link.endedAt === undefined ? (
          <button type="button" className="linklike" disabled={busy} onClick={onRenew}>
            Renew for {link.crewName}
          </button>
        ) : null}
        {over ? null : (
          <button type="button" className="linklike" disabled={busy} onClick={onEnd}>
            End the link of {link.crewName}
          </button>
        )}
      </span>
    </li>
  );
}

/** The address of a link that was just made: shown now and never again. */
function Made({ made, visit }: { readonly made: MadeLink; readonly visit: Visit }): ReactNode {
  const when = showWindow(visit.windowFrom, visit.windowTo, visit.zone);
  const spanish = new Intl.DateTimeFormat('es', { dateStyle: 'long', timeStyle: 'short', timeZone: visit.zone });
  const cuando = spanish.formatRange(new Date(visit.windowFrom), new Date(visit.windowTo));
  const messages = [
    ['en', 'English', `Visit for order ${visit.order.reference}, ${when}. Open this on your phone: ${made.url}`],
    ['es', 'Español', `Visita del pedido ${visit.order.reference}, ${cuando}. Abra esto en su teléfono: ${made.url}`],
  ] as const;
  return (
    <div role="status">
      <Note tone="ok" title={`Send this link to ${made.crewName}. It is shown only now.`}>
        <p className="secret" id="made">
          {made.url}
        </p>
        <CopyButton text={made.url} what="the link" />
        <CodeOf text={made.url} says={`The link for ${made.crewName} as a code to scan`} />
        {messages.map(([lang, language, message]) => (
          <div key={lang} className="tight">
            <p className="quiet">A message to send, {language}</p>
            <p lang={lang} className="secret">
              {message}
            </p>
            <CopyButton text={message} what={`the message, ${language}`} />
          </div>
        ))}
        <p>
          It opens this visit and nothing else, until <Time at={made.expiresAt} zone={visit.zone} />. Lost it? Renew it:
          the new one takes its place.
        </p>
      </Note>
    </div>
  );
}

function NewLink({ linking: { making, trouble } }: { readonly linking: ReturnType<typeof useLinking> }): ReactNode {
  const form = useRef<HTMLFormElement>(null);
  return (
    <form
      ref={form}
      className="stack"
      onSubmit={(event) => {
        event.preventDefault();
        const typed = new FormData(event.currentTarget);
        const word = (name: string): string => {
          const value = typed.get(name);
          return typeof value === 'string' ? value.trim() : '';
        };
        making.mutate(
          { crewName: word('crewName'), hours: Number(word('hours')) },
          { onSuccess: () => form.current?.reset() },
        );
      }}
    >
      <TextLine
        id="crewName"
        name="crewName"
        label="Who is the crew?"
        hint="Names as they should stand in the file"
        required
        max={100}
        trouble={trouble}
      />
      <Choose id="hours" name="hours" label="Works for" short value="72" options={HOURS} trouble={trouble} />
      <button className="go" disabled={making.isPending}>
        {making.isPending ? 'Sending…' : 'Make a link'}
      </button>
    </form>
  );
}
