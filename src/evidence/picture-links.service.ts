import { randomBytes, randomUUID } from 'node:crypto';
import { link, mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Injectable, type OnModuleInit } from '@nestjs/common';
import type { Actor } from '../access/access.contract.js';
import { Clock } from '../platform/clock.js';
import type { Config } from '../platform/config/config.js';
import { InjectConfig } from '../platform/config/inject-config.js';
import { Database } from '../platform/db/database.js';
import { Refused } from '../platform/http/problems.js';
import { judgeLink, signLink, type PictureLink } from './domain/picture-link.js';
import { EvidenceService } from './evidence.service.js';
import { PicturesService, type Sendable } from './pictures.service.js';
import { ExhibitStore } from './store/exhibit.store.js';

/** A link as it is handed out. */
export interface SignedLink {
  /** Path and query; the origin is that of the service. */
  readonly address: string;
  /** RFC 3339 */
  readonly until: string;
}

/** Links to single pictures that count for a short while without a sign-in. */
@Injectable()
export class PictureLinksService implements OnModuleInit {
  private secret = '';

  constructor(
    private readonly db: Database,
    private readonly evidence: EvidenceService,
    private readonly exhibits: ExhibitStore,
    private readonly pictures: PicturesService,
    private readonly clock: Clock,
    @InjectConfig() private readonly config: Config,
  ) {}

  async onModuleInit(): Promise<void> {
    const { stateDir, photos } = this.config;
    this.secret = photos.linkSecret ?? (await secretIn(stateDir));
  }

  /** A link to a picture that the actor may see. @throws Refused as for the picture itself */
  async make(actor: Actor, photo: string, size: number): Promise<SignedLink> {
    await this.evidence.rendition(actor, photo, size);
    const until = Math.floor(this.clock.now().epochMilliseconds / 1000) + this.config.photos.linkMinutes * 60;
    const signature = signLink({ tenant: actor.tenant, photo, size, until }, this.secret);
    return {
      address: `/v1/pictures/${actor.tenant}/${photo}/${size}?until=${until}&signature=${signature}`,
      until: Temporal.Instant.fromEpochMilliseconds(until * 1000).toString(),
    };
  }

  /**
   * The picture behind a link. @returns with the seconds that the link still counts
   * @throws Refused picture-link-invalid, picture-link-expired, not-found where the photo was withdrawn meanwhile
   */
  async follow(given: PictureLink, signature: string): Promise<Sendable & { readonly secondsLeft: number }> {
    const now = Math.floor(this.clock.now().epochMilliseconds / 1000);
    const verdict = judgeLink(given, signature, this.secret, now);
    if (verdict === 'forged') throw new Refused('picture-link-invalid', 'Ask for a new link; this one was changed.');
    if (verdict === 'late') throw new Refused('picture-link-expired', 'Load the page again, or ask for a new link.');
    const { tenant, photo, size } = given;
    const { row, made } = await this.db.inTenant({ tenant }, async (tx) => ({
      row: await this.exhibits.known(tx, tenant, photo),
      made: (await this.exhibits.renditions(tx, tenant, [photo])).find((each) => each.size === size),
    }));
    if (!row || !made || row.withdrawnAt !== null)
      throw new Refused('not-found', 'This picture is not there any more.');
    return { ...(await this.pictures.rendition(row, made)), secondsLeft: given.until - now };
  }
}

/** The secret of this state folder, made by whoever comes first. All processes of a service share the folder. */
async function secretIn(stateDir: string): Promise<string> {
  const file = join(stateDir, 'picture-links.key');
  await mkdir(stateDir, { recursive: true });
  const aside = `${file}.${randomUUID()}`;
  await writeFile(aside, randomBytes(32).toString('base64url'), { mode: 0o600, flag: 'wx', flush: true });
  try {
    await link(aside, file);
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
  } finally {
    await rm(aside, { force: true });
  }
  return readFile(file, 'utf8');
}
