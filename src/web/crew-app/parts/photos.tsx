import { useEffect, useMemo, useState } from 'preact/hooks';
import type { ChecklistItem } from '../../../inspections/inspections.contract.js';
import { askedPhotos, say } from '../../domain/walk-view.js';
import { addPhoto } from '../actions.js';
import { refresh, useApp } from '../app-state.js';
import { sendOwed } from '../engine.js';
import type { HeldPhoto } from '../keep/database.js';
import { withdrawPhoto } from '../keep/phone.js';
import type { CrewWord } from '../words/english.js';
import { sayer } from '../words/sayer.js';
import { roomFor, storage, type Room } from '../photo/room.js';
import type { Inspection } from '../walk/inspection.js';
import { Mark, Note } from './frame.js';

/** What a photo shows that nobody asked for. */
const EXTRA = 'extra';

/** The photos of a check: those that are asked for, each with its two buttons, and those that are there. */
export function Photos({ of, item }: { readonly of: Inspection; readonly item: ChecklistItem }) {
  const { lang } = useApp();
  const w = sayer(lang);
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<CrewWord | undefined>();
  const [room, setRoom] = useState<Room>('ok');
  useEffect(() => {
    void storage().then(({ held, free }) => setRoom(roomFor(held, free)));
  }, [of.photos.length]);
  const own = of.photos.filter((photo) => photo.item === item.id);
  const asked = askedPhotos(of.walk, item, of.photos);
  const take = async (shows: string, files: readonly File[], camera: boolean): Promise<void> => {
    setBusy(true);
    setTrouble(undefined);
    try {
      for (const file of files) await addPhoto(of, { item: item.id, shows }, file, camera);
    } catch (error) {
      setTrouble(error instanceof Error && error.name === 'QuotaExceededError' ? 'roomFull' : 'photoBad');
    }
    setBusy(false);
  };
  const full = room === 'full';
  return (
    <section class="stack photos" aria-label={w('ownPhotos')}>
      {room === 'ok' ? null : (
        <Note tone="warn">
          <p>{w(full ? 'roomFull' : 'roomWarn')}</p>
        </Note>
      )}
      {['wide', 'close'].every((id) => asked.some(({ demand }) => demand.id === id)) ? (
        <p class="quiet">{w('wideClose')}</p>
      ) : null}
      {asked.map(({ demand, owed }) => (
        <div class="demand" key={demand.id}>
          <p>
            {owed ? (
              <Mark shape="open square" tone="warn" says={w('owed')} />
            ) : (
              <Mark shape="tick" tone="ok" says={w('done')} />
            )}{' '}
            {say(demand.says, lang)}
          </p>
          {full ? null : (
            <Takers
              id={demand.id}
              busy={busy}
              onFiles={(files, camera) => take(demand.id, files, camera)}
              first={owed}
            />
          )}
        </div>
      ))}
      {asked.length > 0 || item.answer.type !== 'photo' || full ? null : (
        <Takers id={EXTRA} busy={busy} onFiles={(files, camera) => take(EXTRA, files, camera)} first />
      )}
      <p role="status" class={busy ? undefined : 'away'}>
        {busy ? w('photoWait') : ''}
      </p>
      {trouble === undefined ? null : (
        <Note tone="bad" alert>
          <p>{w(trouble)}</p>
        </Note>
      )}
      {own.length === 0 ? null : (
        <ul class="plain thumbs">
          {own.map((photo) => (
            <Thumb photo={photo} key={photo.id} />
          ))}
        </ul>
      )}
      {asked.some(({ owed }) => owed) && own.length > 0 ? <p class="quiet">{w('photoLost')}</p> : null}
    </section>
  );
}

/** The camera, and the gallery: some phones take the place out of photos that are chosen from it. */
function Takers(props: {
  readonly id: string;
  readonly busy: boolean;
  readonly first: boolean;
  readonly onFiles: (files: readonly File[], camera: boolean) => Promise<void>;
}) {
  const { lang } = useApp();
  const w = sayer(lang);
  const chosen = ({ currentTarget }: { currentTarget: HTMLInputElement }): void => {
    const files = [...(currentTarget.files ?? [])];
    // The same photo may be chosen again after it was taken out.
    currentTarget.value = '';
    void props.onFiles(files, currentTarget.hasAttribute('capture'));
  };
  return (
    <div class="takers">
      <label class={props.first ? 'button go' : 'button'}>
        {props.first ? w('take') : w('more')}
        <input
          type="file"
          accept="image/*"
          capture="environment"
          data-shows={props.id}
          disabled={props.busy}
          onChange={chosen}
        />
      </label>
      <label class="button">
        {w('fromGallery')}
        <input type="file" accept="image/*" multiple data-gallery={props.id} disabled={props.busy} onChange={chosen} />
      </label>
    </div>
  );
}

function Thumb({ photo }: { readonly photo: HeldPhoto }) {
  const { lang, owed } = useApp();
  const w = sayer(lang);
  const address = useMemo(
    () =>
      photo.thumb.byteLength === 0 ? undefined : URL.createObjectURL(new Blob([photo.thumb], { type: 'image/jpeg' })),
    [photo.id],
  );
  useEffect(() => () => (address === undefined ? undefined : URL.revokeObjectURL(address)), [address]);
  const trouble = owed.find(({ ref, kind }) => ref === photo.id && kind === 'photo')?.trouble;
  const refused = trouble !== undefined && trouble.status >= 400 && trouble.status < 500 && trouble.status !== 401;
  return (
    <li data-photo={photo.id}>
      <div class="frame">
        {address === undefined ? (
          <span>{w('noPicture')}</span>
        ) : (
          <img src={address} alt={w('photos')} width="160" height="160" />
        )}
      </div>
      {refused ? (
        <Mark shape="triangle" tone="warn" says={w('needsYou')} />
      ) : photo.state === 'here' ? (
        <Mark shape="ring" tone="plainly" says={w('photoHere')} />
      ) : (
        <Mark shape="tick" tone="ok" says={w('photoSent')} />
      )}
      {refused ? <p>{trouble.says}</p> : null}
      {(photo.advice ?? []).map((advice) => (
        <p key={advice.en}>{say(advice, lang)}</p>
      ))}
      <button
        class="linklike"
        onClick={() =>
          void withdrawPhoto(photo)
            .then(refresh)
            .then(() => sendOwed())
        }
      >
        {w('remove')}
      </button>
    </li>
  );
}
