import { stat } from 'node:fs/promises';
import { settleSharp } from '../evidence/imaging/sharp-settings.js';
import { measureCompression, measureReuse, measureThumbnails } from './corpus/measure-compression.js';
import { measureDetails } from './corpus/measure-details.js';
import { measureLabels } from './corpus/measure-labels.js';
import { measureBlur, measureExposure, measureNearness } from './corpus/measure-quality.js';
import { measureDoubts, measureMetadata, measureOrientation } from './corpus/measure-reading.js';
import { distinct, photosIn } from './corpus/photo-set.js';
import { asMarkdown } from './corpus/table.js';
import { EXIT } from './verb.js';

// Measures on a folder of photos how often the rules about photos are right: npm run -s corpus -- FOLDER. Prints Markdown.
// Reads everything in this process, so give it photos that you trust. Exit codes: 0 measured, or skipped because the folder is not
// there; 2 no folder was named, or there is no photo in it.

process.exitCode = await measure(process.argv.slice(2));

async function measure([folder, ...more]: readonly string[]): Promise<number> {
  if (folder === undefined || more.length > 0) {
    process.stderr.write('Name one folder of photos: npm run -s corpus -- FOLDER\n');
    return EXIT.badInput;
  }
  const found = await stat(folder).catch(() => undefined);
  if (!found?.isDirectory()) {
    process.stderr.write(`The photos are not measured: there is no folder ${folder}.\n`);
    return EXIT.ok;
  }
  settleSharp();
  const photos = await photosIn(folder);
  if (photos.length === 0) {
    process.stderr.write(`There is no photo in ${folder}.\n`);
    return EXIT.badInput;
  }
  const scenes = distinct(photos);
  const greys = scenes.map(({ picture }) => picture.made.grey);
  const day = Temporal.Now.plainDateISO().toString();
  const write = (text: string) => process.stdout.write(`${text}\n`);
  write(
    `${photos.length} pictures, ${scenes.length} different scenes that can be decoded whole. Measured on ${day}.\n`,
  );
  write(asMarkdown(measureMetadata(photos)));
  write(asMarkdown(measureOrientation(photos)));
  write(asMarkdown(await measureDoubts(photos)));
  write(asMarkdown(await measureBlur(greys)));
  write(asMarkdown(await measureExposure(greys)));
  write(asMarkdown(await measureNearness(greys)));
  write(asMarkdown(await measureCompression(scenes)));
  write(asMarkdown(await measureThumbnails(photos, scenes)));
  write(asMarkdown(await measureReuse(scenes)));
  write(asMarkdown(await measureDetails(scenes)));
  write(asMarkdown(await measureLabels(photos)));
  return EXIT.ok;
}
