import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import type { ExifFields } from '../../tests/support/exif-writer.js';
import { developed } from './darkroom.js';
import { hex } from './paint.js';
import type { RoomPlan } from './rooms.js';
import type { Shot } from './shot.js';
import { SHOTS } from './shots.js';
import { Camera, Chance } from './space.js';
import { Stage } from './stage.js';

const HOME = join(import.meta.dirname, '..');

/** What a photo needs to know of the visit that it was taken on. */
export interface Visit {
  /** RFC 3339 instant with the offset of the place. */
  readonly startedAt: string;
  readonly latitude: number;
  readonly longitude: number;
}

/**
 * Makes the photos of the named claims (all when none is named) and writes their SHA-256 into each claim file.
 * @throws Error on a claim that has no shots.
 */
export async function makePhotos(slugs: readonly string[]): Promise<void> {
  for (const slug of slugs.length > 0 ? slugs : Object.keys(SHOTS)) {
    const shots = SHOTS[slug];
    if (shots === undefined) throw new Error(`There are no photos for a claim named "${slug}".`);
    mkdirSync(join(HOME, slug, 'photos'), { recursive: true });
    const hashes = new Map<string, string>();
    let bytes = 0;
    for (const shot of shots) {
      const photo = await photoOf(slug, shot, visitOf(slug));
      writeFileSync(join(HOME, slug, 'photos', `${shot.file}.jpg`), photo);
      hashes.set(`photos/${shot.file}.jpg`, createHash('sha256').update(photo).digest('hex'));
      bytes += photo.length;
    }
    recordHashes(slug, hashes);
    process.stdout.write(`${slug}: ${shots.length} photos, ${Math.round(bytes / 1024)} KiB\n`);
  }
}

/** The bytes of one photo. */
export async function photoOf(slug: string, shot: Shot, visit: Visit): Promise<Buffer> {
  if (shot.sameAs !== undefined) {
    const [otherSlug = '', file = ''] = shot.sameAs.split('/');
    const other = SHOTS[otherSlug]?.find((candidate) => candidate.file === file);
    if (other === undefined) throw new Error(`There is no photo ${shot.sameAs} to re-use.`);
    return photoOf(otherSlug, other, visitOf(otherSlug));
  }
  if (shot.scene === undefined) throw new Error(`${slug}/${shot.file} shows nothing.`);
  const seed = `${slug}/${shot.file}`;
  const [width, height] = shot.portrait ? [1200, 1600] : [1600, 1200];
  const stage = new Stage(new Camera(shot.scene.camera, width, height), new Chance(seed));
  shot.scene.draw(stage, roomOf(slug));
  return developed(stage.svg(shot.scene.soft), seed, shot.exposure ?? {}, exifOf(seed, shot, visit));
}

/** The visit of a claim, from its claim file and the scenario. */
export function visitOf(slug: string): Visit {
  const claim = readJson(join(HOME, slug, 'claim.json'));
  const scenario = readJson(join(HOME, 'scenario.json'));
  const visit = list(scenario, 'visits').find((one) => field(one, 'claim') === slug);
  const address = list(scenario, 'addresses').find((one) => field(one, 'id') === field(visit, 'address'));
  const startedAt = field(field(claim, 'inspection'), 'startedAt');
  const [latitude, longitude] = [field(address, 'latitude'), field(address, 'longitude')];
  if (typeof startedAt !== 'string' || typeof latitude !== 'number' || typeof longitude !== 'number')
    throw new Error(`The claim "${slug}" has no visit with an address and a start.`);
  return { startedAt, latitude, longitude };
}

const CAMERAS = [
  { make: 'Fennick', model: 'Fennick P4', software: 'FennickOS 11.2' },
  { make: 'Orbeo', model: 'Orbeo One', software: 'OB1.7.0041' },
  { make: 'Lumard', model: 'Lumard X2 Mini', software: '3.9.1' },
] as const;

function exifOf(seed: string, shot: Shot, visit: Visit): ExifFields | null {
  if (shot.bare) return null;
  const chance = new Chance(`camera ${seed.split('/')[0] ?? ''}`);
  const camera = CAMERAS[Math.floor(chance.next() * CAMERAS.length)] ?? CAMERAS[0];
  const offset = visit.startedAt.slice(-6);
  const local = Temporal.PlainDateTime.from(visit.startedAt.slice(0, 19));
  const when = new Chance(`time ${seed}`);
  const taken = local.add({ minutes: shot.minute ?? 0, seconds: Math.floor(when.between(3, 55)) });
  const takenAt = exifTime(taken);
  const [width, height] = shot.portrait ? [1200, 1600] : [1600, 1200];
  const turned = (shot.orientation ?? 1) > 4;
  return {
    byteOrder: chance.next() < 0.5 ? 'big' : 'little',
    ...camera,
    ...(shot.edited ? { software: 'Tintbench 5.1 (desktop)' } : {}),
    orientation: shot.orientation ?? 1,
    takenAt,
    takenOffset: offset,
    takenSubSec: String(Math.floor(when.between(0, 1000))).padStart(3, '0'),
    digitizedAt: takenAt,
    digitizedOffset: offset,
    changedAt: shot.edited ? exifTime(taken.add({ days: 2, hours: 5 })) : takenAt,
    changedOffset: offset,
    pixelWidth: turned ? height : width,
    pixelHeight: turned ? width : height,
    gps: positionOf(visit, shot.away ?? when.between(2, 22), when, taken, offset),
  };
}

/** A position some metres from the address, with the satellites' own time in UTC. One degree of latitude is taken as 111,320 m. */
function positionOf(
  visit: Visit,
  metres: number,
  chance: Chance,
  taken: Temporal.PlainDateTime,
  offset: string,
): NonNullable<ExifFields['gps']> {
  const direction = chance.between(0, 2 * Math.PI);
  const utc = Temporal.Instant.from(`${taken.toString()}${offset}`).toZonedDateTimeISO('UTC');
  const degrees = metres / 111_320;
  return {
    latitude: visit.latitude + degrees * Math.cos(direction),
    longitude: visit.longitude + (degrees * Math.sin(direction)) / Math.cos((visit.latitude * Math.PI) / 180),
    errorMetres: chance.between(4, 15),
    date: utc.toPlainDate().toString().replaceAll('-', ':'),
    time: [utc.hour, utc.minute, utc.second],
  };
}

function exifTime(at: Temporal.PlainDateTime): string {
  return at.toString({ smallestUnit: 'second' }).replace('T', ' ').replaceAll('-', ':');
}

const WALLS = ['#cfd3cc', '#d8cfc0', '#c3ccd3', '#d9d4cc', '#bfc9bd', '#d3c4bb'] as const;
const FLOORS = ['oak', 'walnut', 'tile', 'carpet', 'oak', 'concrete'] as const;

/** Each claim happens in one room. */
function roomOf(slug: string): RoomPlan {
  const chance = new Chance(`room ${slug}`);
  const floor = FLOORS[Math.floor(chance.next() * FLOORS.length)] ?? 'oak';
  const wall = hex(WALLS[Math.floor(chance.next() * WALLS.length)] ?? WALLS[0]);
  const door = chance.next() < 0.7 ? chance.between(-1.9, 0.6) : undefined;
  return {
    floor,
    wall,
    wallAt: chance.between(2.5, 3.1),
    window: chance.next() < 0.55,
    ...(door === undefined ? {} : { door }),
  };
}

/** Replaces the hash behind each photo's file name, leaving the rest of the file as it is. */
function recordHashes(slug: string, hashes: ReadonlyMap<string, string>): void {
  const file = join(HOME, slug, 'claim.json');
  let text = readFileSync(file, 'utf8');
  for (const [name, hash] of hashes) {
    const pattern = new RegExp(`("file": "${name.replaceAll('.', String.raw`\.`)}",\\s*"sha256": ")[0-9a-f]{64}`, 'g');
    text = text.replaceAll(pattern, `$1${hash}`);
  }
  writeFileSync(file, text);
}

function readJson(file: string): unknown {
  return JSON.parse(readFileSync(file, 'utf8'));
}

function field(of: unknown, name: string): unknown {
  return typeof of === 'object' && of !== null ? (of as Readonly<Record<string, unknown>>)[name] : undefined;
}

function list(of: unknown, name: string): readonly unknown[] {
  const found = field(of, name);
  return Array.isArray(found) ? found : [];
}
