import * as near from './near-scenes.js';
import * as papers from './paper-scenes.js';
import * as scenes from './scenes.js';
import { BLURRED, SHAKEN, EVENING, KEP, code, type Shot } from './shot.js';

/** Photos of the claims about desks, by claim. */
export const DESKS_SHOTS: Readonly<Record<string, readonly Shot[]>> = {
  'desk-pierced-refused': [
    {
      file: '01-hole-close',
      scene: scenes.cartonClose('desk', { hole: 'low', impact: 'tripped', label: code(127) }, 0.4, 0.55),
      orientation: 6,
    },
    {
      file: '02-carton-wide',
      scene: scenes.cartonWide('desk', { hole: 'low', impact: 'tripped', label: code(127) }),
      minute: 1,
    },
    { file: '03-label', scene: papers.labelClose(code(127)), minute: 2 },
    { file: '04-dent-close', scene: near.railClose('dented'), edited: true, minute: 8 },
  ],
  'desk-thread-stripped': [
    { file: '01-desk-wide', scene: scenes.deskWide({ height: 0.7 }), minute: 10 },
    { file: '02-thread-close', scene: near.boltClose(), minute: 11, orientation: 7 },
  ],
  'desk-controller-dead': [
    { file: '01-serial', scene: papers.plateClose(KEP, 'KEP-LECTERN-160-EU', 'KL25940118'), minute: 5, orientation: 6 },
    { file: '02-packing-kept', scene: scenes.opened('desk', {}), minute: 25 },
    { file: '03-handset-dark', scene: near.handsetClose('on', null), minute: 18 },
  ],
  'desk-signs-contradict': [
    {
      file: '01-serial',
      scene: papers.plateClose(KEP, 'KEP-ROSTRUM-60-US', 'KR26120905'),
      minute: 5,
      exposure: BLURRED,
    },
  ],
  'desk-electronics-short': [
    { file: '01-laid-out', scene: near.counted(3, 1, 'bags'), minute: 12 },
    {
      file: '02-packing-list',
      scene: papers.list('LECTERN 160 UK', [
        { number: 'LU-210', title: 'CROSS BEAM', pieces: 1, found: 1 },
        { number: 'LU-220', title: 'FOOT', pieces: 2, found: 2 },
        { number: 'LU-300', title: 'LIFTING COLUMN', pieces: 2, found: 2 },
        { number: 'LU-310', title: 'SCREW BAG', pieces: 1, found: 1 },
        { number: 'LU-500', title: 'ELECTRONICS PACK', pieces: 1, found: 0 },
        { number: 'LU-530', title: 'MAINS LEAD', pieces: 1, found: 0 },
      ]),
      portrait: true,
      orientation: 6,
      minute: 14,
    },
    { file: '03-empty-place', scene: near.emptyPlace('CONTROL'), exposure: BLURRED, minute: 16 },
  ],
  'desk-control-box-warranty': [
    { file: '01-serial', scene: papers.plateClose(KEP, 'KEP-LECTERN-160-UK', 'KU24700533'), minute: 3 },
    { file: '02-control-box', scene: near.controlClose({ light: 'off' }), minute: 6, orientation: 8 },
  ],
  'desk-wrong-item': [
    { file: '01-serial', scene: papers.plateClose(KEP, 'KEP-ROSTRUM-60-US', 'KR26130017'), minute: 4 },
  ],
  'desk-column-worn': [
    {
      file: '01-desk-stopped',
      scene: scenes.deskWide({ height: 0.92, drop: 0.045, top: '#8a8378' }, -1),
      exposure: EVENING,
      minute: 9,
    },
    { file: '02-serial', scene: papers.plateClose(KEP, 'KEP-LECTERN-160-EU', 'KL22410960'), minute: 4, orientation: 3 },
  ],
  'desk-stock-unknown': [
    { file: '01-desk-wide', scene: scenes.deskWide({ bentFoot: true }), minute: 12 },
    { file: '02-leg-close', scene: near.footClose(), minute: 13, orientation: 2 },
    {
      file: '03-corner-close',
      scene: scenes.cartonClose(
        'desk',
        { corner: { side: 'right', deep: 0.12 }, impact: 'tripped', tilt: 'intact' },
        0.84,
        0.7,
      ),
      minute: 1,
    },
  ],
  'desk-screws-thrown-out': [
    { file: '01-laid-out', scene: near.counted(4, 3, 'bags'), minute: 5 },
    {
      file: '02-packing-list',
      scene: papers.list('LECTERN 160 EU', [
        { number: 'LE-210', title: 'CROSS BEAM', pieces: 1, found: 1 },
        { number: 'LE-220', title: 'FOOT', pieces: 2, found: 2 },
        { number: 'LE-300', title: 'LIFTING COLUMN', pieces: 2, found: 2 },
        { number: 'LE-310', title: 'SCREW BAG', pieces: 1, found: 0 },
        { number: 'LE-500', title: 'ELECTRONICS PACK', pieces: 1, found: 1 },
      ]),
      portrait: true,
      exposure: SHAKEN,
      minute: 7,
    },
  ],
};
