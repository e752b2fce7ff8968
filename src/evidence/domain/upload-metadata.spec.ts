import { describe, expect, it } from 'vitest';
import { readUploadMetadata } from './upload-metadata.js';

const FIELDS = {
  inspection: '0f8fad5b-d9cb-469f-a165-70867728950e',
  photo: '7c9e6679-7425-40de-944b-e07fc1f90ae7',
  item: 'carton-front',
  shows: 'wide',
  sha256: 'BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD',
};

function header(fields: Readonly<Record<string, string>>): string {
  return Object.entries(fields)
    .map(([key, value]) => `${key} ${Buffer.from(value).toString('base64')}`)
    .join(',');
}

describe('Upload-Metadata', () => {
  it('says where a photo belongs and which bytes it has', () => {
    expect(readUploadMetadata(header({ ...FIELDS, filetype: 'image/jpeg' }))).toEqual({
      ok: true,
      metadata: {
        inspectionId: FIELDS.inspection,
        photoId: FIELDS.photo,
        item: 'carton-front',
        shows: 'wide',
        sha256: FIELDS.sha256.toLowerCase(),
        declaredType: 'image/jpeg',
      },
    });
  });

  it('is read as in the example of tus 1.0.0 (creation, Upload-Metadata)', () => {
    const read = readUploadMetadata(`${header(FIELDS)},filename d29ybGRfZG9taW5hdGlvbl9wbGFuLnBkZg==,is_confidential`);
    expect(read).toMatchObject({ ok: true, metadata: { fileName: 'world_domination_plan.pdf' } });
  });

  it('names everything that is missing or wrong at once', () => {
    const read = readUploadMetadata(header({ inspection: 'x', item: 'a'.repeat(101), sha256: 'abc' }));
    expect(read.ok ? [] : read.faults.map(({ pointer }) => pointer)).toEqual([
      '#/Upload-Metadata/inspection',
      '#/Upload-Metadata/photo',
      '#/Upload-Metadata/item',
      '#/Upload-Metadata/shows',
      '#/Upload-Metadata/sha256',
    ]);
    expect(readUploadMetadata(undefined)).toMatchObject({ ok: false });
  });

  it.each(['item Y2F*', 'item YQ==,item YQ==', 'item YQ== more', ' , ', 'ké YQ=='])('refuses %s', (text) => {
    expect(readUploadMetadata(text)).toMatchObject({ ok: false, faults: [{ pointer: '#/Upload-Metadata' }] });
  });
});
