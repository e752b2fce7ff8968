import { isHeic } from '../../evidence/domain/photo-limits.js';
import { readLabels, type LabelEffort } from '../../evidence/imaging/read-labels.js';
import type { SetPhoto } from './photo-set.js';
import { share, type Measurement } from './table.js';

/** Pictures with a text beside them: whether a code on them says that text, something else, or was not found. */
export async function measureLabels(photos: readonly SetPhoto[]): Promise<Measurement> {
  const groups = Map.groupBy(
    photos.filter(({ label, picture }) => label !== undefined && picture !== undefined),
    ({ name }) => name.replace(/[/\\][^/\\]*$/, ''),
  );
  const rows: string[][] = [];
  for (const [folder, members] of groups) {
    for (const effort of ['glance', 'search'] as const) {
      const counts = { right: 0, other: 0, none: 0 };
      for (const photo of members) counts[await outcome(photo, effort)] += 1;
      const { right, other, none } = counts;
      rows.push([folder, effort, ...[right, other, none].map((count) => share(count, members.length))]);
    }
  }
  return {
    title: 'Codes',
    says: 'Pictures of labels with the expected text beside them. White space and the brackets of GS1 are not compared.',
    head: ['pictures', 'effort', 'read as expected', 'read otherwise', 'not found'],
    rows,
  };
}

async function outcome(photo: SetPhoto, effort: LabelEffort): Promise<'right' | 'other' | 'none'> {
  const { picture, label, content, mediaType } = photo;
  if (!picture || label === undefined) return 'none';
  const { grey, largest } = picture.made;
  const encoded = isHeic(mediaType) ? {} : { encoded: content };
  const found = await readLabels({ small: grey, large: largest, ...encoded }, effort);
  if (found.length === 0) return 'none';
  return found.some(({ text }) => plain(text) === plain(label)) ? 'right' : 'other';
}

function plain(text: string): string {
  return text.replaceAll('\u001d', '').replace(/[\s()]/g, '');
}
