import * as near from './near-scenes.js';
import * as papers from './paper-scenes.js';
import * as scenes from './scenes.js';
import { SHAKEN, DARK, EVENING, COOL, OST, code, corner, type Shot } from './shot.js';

const bedLabel = code(417);

/** Photos of the claims about bed bases, by claim. */
export const BEDS_SHOTS: Readonly<Record<string, readonly Shot[]>> = {
  'bed-rail-bent-noted': [
    { file: '01-carton-wide', scene: scenes.cartonWide('bed', { dent: true, label: bedLabel }) },
    { file: '02-carton-label', scene: papers.labelClose(bedLabel), minute: 1 },
    {
      file: '03-carton-dent',
      scene: scenes.cartonClose('bed', { dent: true, label: bedLabel }, 0.5),
      orientation: 6,
      minute: 2,
    },
    {
      file: '04-carton-side',
      scene: scenes.cartonWide('bed', { dent: true, label: bedLabel, turn: 24 }, -1),
      orientation: 3,
      minute: 3,
    },
    { file: '05-foam-broken', scene: scenes.opened('bed', { broken: true }), minute: 7 },
    { file: '06-foam-close', scene: scenes.opened('bed', { broken: true }, true), orientation: 8, minute: 8 },
    { file: '07-frame-wide', scene: scenes.bed({ bent: 0.11, legs: [] }), minute: 11 },
    { file: '08-rail-close', scene: near.railClose('bent'), orientation: 6, minute: 12 },
    { file: '09-under-dent', scene: scenes.bed({ bent: 0.11, legs: [] }, 'foot'), minute: 13 },
    { file: '10-diagonal', scene: near.tapeAcross('DIFF 14 MM'), minute: 16 },
    {
      file: '11-receipt',
      scene: papers.slip('PS-20418', ['TOP FACE CRUSHED', 'RAIL BENT'], 'PLOVER FREIGHT LINES'),
      portrait: true,
      orientation: 6,
      minute: 24,
    },
  ],
  'bed-corner-and-leg': [
    {
      file: '01-carton-wide',
      scene: scenes.cartonWide('bed', { ...corner, impact: 'tripped', tilt: 'intact', label: code(533) }),
    },
    {
      file: '02-corner-close',
      scene: scenes.cartonClose('bed', { ...corner, label: code(533) }, 0.86, 0.9),
      orientation: 6,
      minute: 1,
    },
    {
      file: '03-corner-wide',
      scene: scenes.cartonWide('bed', { ...corner, impact: 'tripped', tilt: 'intact', turn: -14 }, 1),
      minute: 2,
    },
    {
      file: '04-impact-tripped',
      scene: scenes.cartonClose('bed', { ...corner, impact: 'tripped', tilt: 'intact' }, 0.46, 0.42),
      orientation: 8,
      minute: 3,
    },
    { file: '05-leg-wide', scene: scenes.bed({ bentLeg: 0, turn: 14 }), minute: 14 },
    { file: '06-leg-close', scene: near.legClose('bent'), minute: 15 },
    {
      file: '07-receipt',
      scene: papers.slip('PS-20533', ['CORNER CRUSHED'], 'PLOVER FREIGHT LINES'),
      portrait: true,
      minute: 26,
    },
  ],
  'bed-bent-late-notice': [
    { file: '01-frame-wide', scene: scenes.bed({ bent: 0.14, turn: -8 }), exposure: EVENING },
    { file: '02-rail-close', scene: near.railClose('bent'), exposure: SHAKEN, minute: 2 },
    { file: '03-serial', scene: papers.plateClose(OST, 'OST-DRIFT-Q-US', 'DR7P663018'), exposure: EVENING, minute: 4 },
  ],
  'bed-blade-cut': [
    { file: '01-cut-close', scene: near.cutClose('#5a5c62'), minute: 5 },
    { file: '02-cut-wide', scene: scenes.cartonClose('bed', { cut: true }, 0.5), minute: 6, orientation: 3 },
    { file: '03-deck-wide', scene: scenes.bed({ legs: [] }, 'right'), exposure: COOL, minute: 9 },
    { file: '04-deck-close', scene: near.railClose('scratched'), minute: 10, orientation: 5 },
  ],
  'bed-one-motor-dead': [
    { file: '01-motor-wide', scene: scenes.bed({ turn: -12 }, 'foot'), exposure: COOL, minute: 15 },
    { file: '02-serial', scene: papers.plateClose(OST, 'OST-HAVEN-160-EU', 'HE417-20931'), minute: 6, orientation: 6 },
    { file: '03-packing-kept', scene: scenes.opened('bed', {}), minute: 30 },
  ],
  'bed-electronics-short': [
    { file: '01-laid-out', scene: near.counted(4, 2, 'bags'), minute: 12 },
    {
      file: '02-packing-list',
      scene: papers.list('DRIFT QUEEN DR7', [
        { number: 'DR-200', title: 'BASE FRAME', pieces: 1, found: 1 },
        { number: 'DR-300', title: 'LEG', pieces: 6, found: 6 },
        { number: 'DR-310', title: 'BOLT AND KEY SET', pieces: 1, found: 1 },
        { number: 'DR-400', title: 'LIFT MOTOR, HEAD', pieces: 1, found: 1 },
        { number: 'DR-410', title: 'LIFT MOTOR, FOOT', pieces: 1, found: 1 },
        { number: 'DR-500', title: 'ELECTRONICS PACK', pieces: 1, found: 0 },
      ]),
      portrait: true,
      orientation: 8,
      minute: 14,
    },
    { file: '03-empty-place', scene: near.emptyPlace('ELECTRONICS'), minute: 16 },
  ],
  'bed-weld-cracked': [
    { file: '01-frame-wide', scene: scenes.bed({ turn: 20 }, 'right'), exposure: EVENING },
    { file: '02-weld-close', scene: near.weldClose(), minute: 2, orientation: 6 },
    { file: '03-serial', scene: papers.plateClose(OST, 'OST-HAVEN-160-EU', 'HE402-11874'), minute: 4 },
  ],
  'bed-motor-worn': [
    { file: '01-motor-wide', scene: near.motorClose(false), exposure: DARK, minute: 8 },
    { file: '02-serial', scene: papers.plateClose(OST, 'OST-DRIFT-Q-US', 'DR7C004417'), minute: 3 },
  ],
  'bed-overloaded': [
    { file: '01-frame-wide', scene: scenes.bed({ bent: 0.18, turn: 2 }), minute: 4 },
    { file: '02-rail-close', scene: near.railClose('bent'), minute: 5, orientation: 8 },
    { file: '03-overload', scene: scenes.bed({ bent: 0.18, turn: 30 }, 'foot'), exposure: COOL, minute: 7 },
    { file: '04-serial', scene: papers.plateClose(OST, 'OST-HAVEN-150-UK', 'HU433-08125'), minute: 9 },
  ],
  'bed-unopened-return': [
    { file: '01-carton-wide', scene: scenes.cartonWide('bed', { label: code(990) }, -1) },
    { file: '02-carton-label', scene: papers.labelClose(code(990)), minute: 1, orientation: 6 },
  ],
  'bed-wet-from-floor': [
    { file: '01-tide-line', scene: scenes.cartonClose('bed', { wet: 'below' }, 0.45, 0.7) },
    {
      file: '02-carton-wide',
      scene: scenes.cartonWide('bed', { wet: 'below', label: code(220) }),
      exposure: COOL,
      minute: 1,
    },
    { file: '03-water-drops', scene: near.controlClose({ light: 'off', water: true }), minute: 14, orientation: 6 },
  ],
  'bed-handset-not-paired': [
    { file: '01-serial', scene: papers.plateClose(OST, 'OST-HAVEN-150-UK', 'HU441-00362'), minute: 3 },
    { file: '02-packing-kept', scene: scenes.opened('bed', { missing: true }), minute: 28, exposure: COOL },
    { file: '03-handset', scene: near.handsetClose('on', 'LOST'), minute: 17, orientation: 6 },
  ],
  'bed-supply-pro-rata': [
    { file: '01-supply-dark', scene: near.handsetClose('off', null), exposure: EVENING, minute: 7 },
    { file: '02-serial', scene: papers.plateClose(OST, 'OST-DRIFT-Q-US', 'DR7H220945'), minute: 3, orientation: 8 },
  ],
};
