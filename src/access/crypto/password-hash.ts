import { argon2, randomBytes, timingSafeEqual, type Argon2Parameters } from 'node:crypto';
import { promisify } from 'node:util';

const derive = promisify(argon2);

/** Cost of a hash: memory in KiB, passes over it, lanes. */
export interface HashCost {
  readonly memoryKib: number;
  readonly passes: number;
  readonly lanes: number;
}

/** OWASP Password Storage Cheat Sheet, one of its five argon2id settings of equal strength. */
export const CURRENT_COST: HashCost = { memoryKib: 19_456, passes: 2, lanes: 1 };

const SALT_BYTES = 16;
const TAG_BYTES = 32;

/** Hashes a password, exactly as it was typed, into a PHC string (`$argon2id$v=19$m=…,t=…,p=…$salt$tag`). */
export async function hashPassword(password: string, cost: HashCost = CURRENT_COST): Promise<string> {
  const salt = randomBytes(SALT_BYTES);
  const tag = await argon2id(password, salt, cost, TAG_BYTES);
  const parameters = `m=${cost.memoryKib},t=${cost.passes},p=${cost.lanes}`;
  return `$argon2id$v=19$${parameters}$${base64(salt)}$${base64(tag)}`;
}

/** Whether the password belongs to the hash. Compares in constant time. False for a text that is no argon2id PHC string. */
export async function verifyPassword(password: string, phc: string): Promise<boolean> {
  const parsed = parse(phc);
  if (parsed === undefined) return false;
  const tag = await argon2id(password, parsed.salt, parsed.cost, parsed.tag.length);
  return timingSafeEqual(tag, parsed.tag);
}

/** Whether a hash was made with less than the current cost and should be made again at the next sign-in. */
export function isBelowCost(phc: string): boolean {
  const cost = parse(phc)?.cost;
  return cost === undefined || cost.memoryKib * cost.passes < CURRENT_COST.memoryKib * CURRENT_COST.passes;
}

/** The raw function of RFC 9106. @returns the tag */
export function argon2id(
  message: string | Uint8Array,
  salt: Uint8Array,
  cost: HashCost,
  tagBytes: number,
  further: Pick<Argon2Parameters, 'secret' | 'associatedData'> = {},
): Promise<Buffer> {
  return derive('argon2id', {
    message,
    nonce: salt,
    memory: cost.memoryKib,
    passes: cost.passes,
    parallelism: cost.lanes,
    tagLength: tagBytes,
    ...further,
  });
}

interface Parsed {
  readonly cost: HashCost;
  readonly salt: Buffer;
  readonly tag: Buffer;
}

function parse(phc: string): Parsed | undefined {
  const match =
    /^\$argon2id\$v=19\$m=(\d{1,7}),t=(\d{1,3}),p=(\d{1,2})\$([A-Za-z0-9+/]{11,86})\$([A-Za-z0-9+/]{22,86})$/.exec(phc);
  if (match === null) return undefined;
  const [, memory, passes, lanes, salt = '', tag = ''] = match;
  return {
    cost: { memoryKib: Number(memory), passes: Number(passes), lanes: Number(lanes) },
    salt: Buffer.from(salt, 'base64'),
    tag: Buffer.from(tag, 'base64'),
  };
}

/** PHC strings use base64 without padding. */
function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('base64').replaceAll('=', '');
}
