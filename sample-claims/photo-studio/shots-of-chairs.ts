import * as near from './near-scenes.js';
import * as papers from './paper-scenes.js';
import * as scenes from './scenes.js';
import { SHAKEN, DARK, EVENING, VAN, code, corner, type Shot } from './shot.js';

/** Photos of the claims about lift chairs, by claim. */
export const CHAIRS_SHOTS: Readonly<Record<string, readonly Shot[]>> = {
  'chair-battery-crushed': [
    { file: '01-dent-close', scene: scenes.cartonClose('chair', { dent: true }, 0.5, 0.7) },
    { file: '02-carton-wide', scene: scenes.cartonWide('chair', { dent: true, label: code(231) }), minute: 1 },
    { file: '03-battery', scene: near.batteryClose(), minute: 12, orientation: 6 },
  ],
  'chair-tipped-over': [
    {
      file: '01-corner-close',
      scene: scenes.cartonClose('chair', { ...corner, tilt: 'tripped', impact: 'intact' }, 0.85, 0.95),
      orientation: 4,
    },
    {
      file: '02-carton-wide',
      scene: scenes.cartonWide('chair', { ...corner, tilt: 'tripped', impact: 'intact', label: code(540) }),
      minute: 1,
    },
    {
      file: '03-tilt-tripped',
      scene: scenes.cartonClose('chair', { ...corner, tilt: 'tripped', impact: 'intact' }, 0.45, 0.4),
      minute: 2,
      orientation: 6,
    },
    {
      file: '04-receipt',
      scene: papers.slip('HL-41540', ['TILT RED', 'CORNER SOFT'], 'TIDEWELL HAULAGE'),
      portrait: true,
      minute: 18,
    },
  ],
  'chair-cable-trapped': [
    { file: '01-cable-close', scene: near.motorClose(true), minute: 10 },
    { file: '02-bare-copper', scene: near.motorClose(true), exposure: SHAKEN, minute: 11, orientation: 6 },
    { file: '03-serial', scene: papers.plateClose(VAN, 'VAN-REPOSE-EU', 'VR26F20875'), minute: 6 },
  ],
  'chair-lift-overloaded': [
    { file: '01-overload', scene: scenes.chairWide({ lift: 0.3, fabric: '#7b5a4c' }, -1), bare: true, minute: 4 },
    { file: '02-serial', scene: papers.plateClose(VAN, 'VAN-ASCENT-US', 'VA25D10044'), minute: 6 },
  ],
  'chair-supply-dead': [
    { file: '01-supply-dark', scene: near.handsetClose('off', null), minute: 8, orientation: 8 },
    { file: '02-serial', scene: papers.plateClose(VAN, 'VAN-REPOSE-UK', 'VU26G00417'), minute: 4 },
    { file: '03-packing-kept', sameAs: 'bed-handset-not-paired/02-packing-kept' },
  ],
  'chair-used-return': [{ file: '01-chair-in-room', scene: scenes.chairWide({ fabric: '#7d8894' }, 1), minute: 2 }],
  'chair-joints-worn': [
    { file: '01-chair-wide', scene: scenes.chairWide({ lift: 0.22, fabric: '#6d7f73' }, 1), minute: 5, away: 21_000 },
    { file: '02-joint-close', scene: near.railClose('scratched'), minute: 6, orientation: 6 },
  ],
  'chair-nobody-told': [
    { file: '01-frame-wide', scene: scenes.chairWide({ fabric: '#4f5f70' }, -1), minute: 14, exposure: EVENING },
    { file: '02-dent-close', scene: near.railClose('dented'), exposure: DARK, minute: 15 },
    {
      file: '03-hole-close',
      scene: scenes.cartonClose('chair', { hole: 'low' }, 0.4, 0.55),
      minute: 1,
      exposure: EVENING,
    },
    {
      file: '04-carton-wide',
      scene: scenes.cartonWide('chair', { hole: 'low', label: code(204) }, -1),
      minute: 2,
      orientation: 6,
      exposure: EVENING,
    },
  ],
  'chair-taped-again': [
    { file: '01-tape-close', scene: scenes.cartonClose('chair', { taped: 'again' }, 0.5) },
    { file: '02-carton-wide', scene: scenes.cartonWide('chair', { taped: 'again', label: code(502) }), minute: 1 },
    {
      file: '03-packing-list',
      scene: papers.list('ASCENT RECLINER', [
        { number: 'AS-200', title: 'LIFT FRAME', pieces: 1, found: 1 },
        { number: 'AS-220', title: 'BACK', pieces: 1, found: 1 },
        { number: 'AS-300', title: 'BASE FOOT', pieces: 4, found: 4 },
        { number: 'AS-400', title: 'LIFT MOTOR', pieces: 1, found: 1 },
        { number: 'AS-500', title: 'ELECTRONICS PACK', pieces: 1, found: 0 },
        { number: 'AS-530', title: 'BATTERY BACKUP', pieces: 1, found: 0 },
      ]),
      portrait: true,
      orientation: 6,
      minute: 15,
    },
  ],
};
