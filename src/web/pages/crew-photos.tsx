import type { VNode } from 'preact';
import type { ChecklistItem } from '../../inspections/inspections.contract.js';
import type { Words } from '../../kernel/vocabulary.js';
import { crewWord, type CrewWord, type Lang } from '../domain/crew-words.js';
import { askedPhotos, say, type Walk } from '../domain/walk-view.js';
import { Mark, Note } from './parts.js';

/** A photo as the crew sees it. */
export interface CrewPhoto {
  readonly id: string;
  readonly item: string;
  readonly shows: string;
  readonly state: 'pending' | 'read' | 'failed';
  readonly advice: readonly Words[];
  readonly failure?: string;
}

/** Everything that a photo form needs to know. */
interface PhotosProps {
  readonly id: string;
  readonly walk: Walk;
  readonly item: ChecklistItem;
  readonly lang: Lang;
  readonly photos: readonly CrewPhoto[];
}

/** The photos that a check asks for, those that are there, and room for one more. */
export function PhotoSection({ id, walk, item, lang, photos }: PhotosProps): VNode {
  const w = (word: CrewWord) => crewWord(lang, word);
  const asked = askedPhotos(walk, item, photos);
  const extra = photos.filter(
    (photo) => photo.item === item.id && !asked.some(({ demand }) => demand.id === photo.shows),
  );
  return (
    <section id="photos" class="stack">
      {asked.length === 0 ? null : <h2>{w('photos')}</h2>}
      {asked.map(({ demand, owed }) => (
        <div class="demand stack">
          <p>
            {owed ? (
              <Mark shape="ring" tone="warn" says={w('owed')} />
            ) : (
              <Mark shape="tick" tone="ok" says={w('photos')} />
            )}{' '}
            {say(demand.says, lang)}
          </p>
          <Thumbs
            id={id}
            item={item}
            lang={lang}
            photos={photos.filter((each) => each.item === item.id && each.shows === demand.id)}
          />
          <PhotoForm
            id={id}
            item={item.id}
            shows={demand.id}
            lang={lang}
            label={`${w(owed ? 'take' : 'more')}: ${say(demand.says, lang)}`}
          />
        </div>
      ))}
      <Thumbs id={id} item={item} lang={lang} photos={extra} />
      {asked.length > 0 ? null : (
        <details>
          <summary>{w('take')}</summary>
          <PhotoForm id={id} item={item.id} shows="extra" lang={lang} label={w('take')} />
        </details>
      )}
    </section>
  );
}

function Thumbs({ id, item, lang, photos }: Pick<PhotosProps, 'id' | 'item' | 'lang' | 'photos'>): VNode | null {
  if (photos.length === 0) return null;
  const w = (word: CrewWord) => crewWord(lang, word);
  return (
    <ul class="thumbs">
      {photos.map((photo, index) => (
        <li data-pending={photo.state === 'pending' ? 'yes' : undefined}>
          <div class="frame">
            {photo.state === 'read' ? (
              <img src={`/v1/photos/${photo.id}/renditions/256`} alt={`${say(item.ask, lang)} (${index + 1})`} />
            ) : (
              <p>{photo.state === 'pending' ? `${w('making')} …` : photo.failure}</p>
            )}
          </div>
          {photo.advice.map((says) => (
            <Note tone="warn">
              <p>{say(says, lang)}</p>
            </Note>
          ))}
          <form method="post" action={`/crew/photos/${photo.id}/withdrawal`}>
            <p>
              <input type="hidden" name="back" value={`/crew/inspections/${id}?check=${item.id}`} />
              <button class="linklike" aria-label={`${w('remove')} (${index + 1})`}>
                {w('remove')}
              </button>
            </p>
          </form>
        </li>
      ))}
    </ul>
  );
}

function PhotoForm(props: {
  readonly id: string;
  readonly item: string;
  readonly shows: string;
  readonly lang: Lang;
  readonly label: string;
}): VNode {
  const { id, item, shows, lang, label } = props;
  return (
    <form
      method="post"
      action={`/crew/inspections/${id}/photos`}
      encType="multipart/form-data"
      class="tight"
      data-photos
      data-inspection={id}
      data-sending={crewWord(lang, 'sending')}
      data-failed={crewWord(lang, 'failed')}
    >
      <input type="hidden" name="item" value={item} />
      <input type="hidden" name="shows" value={shows} />
      <label class="button go camera" for={`file-${shows}`}>
        <span aria-hidden="true">{label.split(':', 1)[0]}</span>
        <span class="away">{label}</span>
      </label>
      <input id={`file-${shows}`} type="file" name="file" accept="image/*" capture="environment" multiple required />
      <p class="sending" role="status" />
      <button type="submit">{crewWord(lang, 'send')}</button>
    </form>
  );
}
