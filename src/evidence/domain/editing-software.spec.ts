import { describe, expect, it } from 'vitest';
import { editingSoftware } from './editing-software.js';

describe('editing software', () => {
  it.each([
    ['Adobe Photoshop CS6 (Windows)', 'Photoshop'],
    ['Adobe Photoshop Lightroom Classic 12.3', 'Photoshop'],
    ['GIMP 2.10.34', 'GIMP'],
    ['Snapseed 2.0', 'Snapseed'],
    ['paint.net 5.0.3', 'Paint.NET'],
    ['Microsoft Windows Photo Viewer 6.1.7600.16385', 'Windows photo editor'],
    ['Picasa', 'Picasa'],
    ['Affinity Photo 2', 'Affinity'],
  ])('%s is %s', (recorded, name) => {
    expect(editingSoftware([recorded])).toEqual({ name, recorded });
  });

  // What cameras write there: firmware of phones and cameras, from public photos.
  it.each([
    '14.4',
    '17.5.1',
    'G975FXXU1ASBA',
    'Ver.1.00',
    'MediaTek Camera Application',
    'HDR+ 1.0.220943774z',
    'V12.0.3.0',
    'Acorns 3',
  ])('%s is the camera itself', (recorded) => {
    expect(editingSoftware([recorded, undefined])).toBeUndefined();
  });

  it('is found in any of the fields', () => {
    expect(editingSoftware(['14.4', undefined, 'Pixelmator Pro'])?.name).toBe('Pixelmator');
  });
});
