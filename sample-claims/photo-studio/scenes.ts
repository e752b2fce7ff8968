import { type BedPlan, bedBase } from './bed-bases.js';
import type { CartonPlan } from './carton-plan.js';
import { carton, openCarton } from './cartons.js';
import { type DeskPlan, desk } from './desks.js';
import { type ChairPlan, liftChair } from './lift-chairs.js';
import { type RoomPlan, room } from './rooms.js';
import type { CameraPlan, Vec } from './space.js';
import type { Stage } from './stage.js';

/** A scene is what stands in front of the camera and where the camera is. */
export interface Scene {
  readonly camera: CameraPlan;
  /** Metres from the camera beyond which walls go soft, as pixels of blur. */
  readonly soft: number;
  readonly draw: (stage: Stage, at: RoomPlan) => void;
}

export type Family = 'bed' | 'desk' | 'chair';

const CARTONS: Readonly<Record<Family, Omit<CartonPlan, 'at'>>> = {
  bed: { size: [1.55, 0.82, 0.36], brand: 'OSTRELLE', product: 'POWERED BED BASE', mass: '74 KG - 2 PERSONS' },
  desk: { size: [1.3, 0.62, 0.26], brand: 'KEPPLIN', product: 'HEIGHT-ADJUSTABLE DESK', mass: '48 KG - 2 PERSONS' },
  chair: { size: [0.95, 0.86, 0.72], brand: 'VANTERHOEK', product: 'LIFT CHAIR', mass: '58 KG - 2 PERSONS' },
};

export const scene = (camera: CameraPlan, soft: number, draw: Scene['draw']): Scene => ({ camera, soft, draw });

type Harm = Partial<Omit<CartonPlan, 'size' | 'at' | 'brand' | 'product' | 'mass'>>;

/** A closed carton from standing height. @param from −1 from the left, 1 from the right */
export function cartonWide(family: Family, harm: Harm, from = 1): Scene {
  const tall = CARTONS[family].size[2];
  const plan = {
    eye: [from * 0.85, -0.85, 1.4] as Vec,
    at: [from * 0.04, 0.95, tall * 0.45] as Vec,
    view: family === 'bed' ? 43 : 38,
    roll: from * 1.3,
  };
  return scene(plan, 1.5, (stage, at) => {
    room(stage, at);
    carton(stage, { ...CARTONS[family], ...harm, at: [0, 0.95, 0], turn: harm.turn ?? from * 13 });
  });
}

/** The carton's front, near. @param u place along the front, 0 left to 1 right */
export function cartonClose(family: Family, harm: Harm, u: number, near = 0.75): Scene {
  const [w, , h] = CARTONS[family].size;
  const x = (u - 0.5) * w;
  const high = harm.taped !== undefined || harm.wet === 'above' || harm.cut === true;
  const plan: CameraPlan = high
    ? { eye: [x * 0.4 + 0.1, 0.1, h + 0.75], at: [x, 0.95, h * 0.9], view: 44, roll: -2 }
    : { eye: [x + 0.16, 0.95 - 0.41 - near, h + 0.3], at: [x, 0.6, h * 0.62], view: 40, roll: 2 };
  return scene(plan, 3, (stage, at) => {
    room(stage, at);
    carton(stage, { ...CARTONS[family], ...harm, at: [0, 0.95, 0], turn: harm.turn ?? 4 });
  });
}

/** An opened carton seen from above. */
export function opened(
  family: Family,
  foam: { readonly broken?: boolean; readonly missing?: boolean },
  close = false,
): Scene {
  const [w, d, h] = CARTONS[family].size;
  const tall = Math.min(h, 0.4);
  const plan: CameraPlan = close
    ? { eye: [w * 0.3, 0.0, tall + 0.85], at: [w * 0.3, 1, 0.1], view: 42, roll: 2 }
    : { eye: [0.35, -0.75, 1.75], at: [0, 0.95, 0.1], view: 46, roll: -1 };
  return scene(plan, 1.5, (stage, at) => {
    room(stage, at);
    openCarton(stage, [w, d, tall], [0, 1, 0], 6, foam);
  });
}

export function bed(plan: Omit<BedPlan, 'at'>, from: 'left' | 'right' | 'foot' = 'left'): Scene {
  const eye: Vec = from === 'left' ? [-1.45, -0.75, 1.45] : from === 'right' ? [1.45, -0.7, 1.4] : [0.2, -1.35, 1.45];
  return scene({ eye, at: [0, 0.85, 0.02], view: 46, roll: 1 }, 1.4, (stage, at) => {
    room(stage, at);
    bedBase(stage, { ...plan, at: [0, 0.9, 0], turn: plan.turn ?? 6 });
  });
}

export function deskWide(plan: Omit<DeskPlan, 'at'>, from = 1): Scene {
  return scene({ eye: [from * 0.95, -1.15, 1.35], at: [0, 1.05, 0.42], view: 44, roll: from }, 1.4, (stage, at) => {
    room(stage, at);
    desk(stage, { ...plan, at: [0, 1.15, 0], turn: plan.turn ?? from * 9 });
  });
}

export function chairWide(plan: Omit<ChairPlan, 'at'>, from = 1): Scene {
  return scene({ eye: [from * 0.9, -0.95, 1.3], at: [0, 0.85, 0.5], view: 44, roll: from * -1 }, 1.4, (stage, at) => {
    room(stage, at);
    liftChair(stage, { ...plan, at: [0, 0.9, 0], turn: plan.turn ?? from * 14 });
  });
}
