import { randomUUID } from 'node:crypto';
import { toBuffer } from 'bwip-js/node';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { photoDesk } from '../support/photo-desk.js';
import { signedIn } from '../support/photo-scene.js';

const desk = photoDesk();
const LABEL = 'item=carton-front&shows=serial-plate';

/** A photo of a label that bwip-js, an independent maker of symbols, drew. */
async function labelPhoto(kind: string, text: string): Promise<Buffer> {
  const symbol = await toBuffer({ bcid: kind, text, scale: 4, padding: 8, backgroundcolor: 'FFFFFF' });
  return sharp({ create: { width: 1400, height: 1000, channels: 3, background: '#b08a5a' } })
    .composite([{ input: symbol, left: 200, top: 150 }])
    .jpeg()
    .toBuffer();
}

/** The receipt of a photo that has been looked at: sent again, it tells what was found. */
async function receipt(content: Buffer, query?: string) {
  const options = { id: randomUUID(), ...(query === undefined ? {} : { query }) };
  await desk.put(content, options);
  await desk.photos.workOff();
  return desk.put(content, options);
}

// The unit of the visit has the serial number S-1.
describe('the label on a photo', () => {
  it.each([
    ['gs1datamatrix', '(01)12345678901231(21)S-1', 'match', 'S-1'],
    ['gs1-128', '(01)12345678901231(21)S-1', 'match', 'S-1'],
    ['code128', 'S-1', 'match', 'S-1'],
    ['qrcode', 'https://id.gs1.org/01/12345678901231/21/S-1', 'match', 'S-1'],
    ['gs1qrcode', '(01)12345678901231(21)S-2', 'differs', 'S-2'],
  ])('of %s saying %s: %s, told with the receipt', async (kind, text, outcome, read) => {
    const { body, id } = await receipt(await labelPhoto(kind, text), LABEL);
    expect(body['label']).toMatchObject({
      outcome,
      read,
      expected: 'S-1',
      says: { en: expect.any(String), es: expect.any(String) },
    });
    const analyst = await signedIn(desk.data(), desk.place, ['analyst']);
    const { reading } = (await desk.get(`/v1/photos/${id}`, analyst)).json<{ reading: Record<string, unknown> }>();
    expect(reading['labelCheck']).toEqual(body['label']);
    expect(reading['labels']).toEqual([expect.objectContaining({ text, place: expect.any(Array) })]);
  });

  it('that cannot be read is worth a word only where one was to be shown', async () => {
    const plain = await sharp({ create: { width: 900, height: 700, channels: 3, background: '#b08a5a' } })
      .jpeg()
      .toBuffer();
    const sought = await receipt(plain, LABEL);
    expect(sought.body['label']).toMatchObject({ outcome: 'none' });
    const other = await receipt(await sharp(plain).extend({ top: 4 }).jpeg().toBuffer());
    expect(other.body).not.toHaveProperty('label');
  });

  it('of another unit of the visit is told apart', async () => {
    await desk
      .data()
      .rows(
        `insert into visit_unit (tenant_id, visit_id, model_id, serial) select tenant_id, visit_id, model_id, 'S-7' from visit_unit where visit_id = $1`,
        [desk.place.visit],
      );
    const { body } = await receipt(await labelPhoto('code128', 'S-7'), LABEL);
    expect(body['label']).toMatchObject({
      outcome: 'differs',
      says: { en: expect.stringMatching(/another unit of this visit/) as string },
    });
  });
});
