import { readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';

/** Nothing arrives or is read for a whole hour; what is older belonged to a process that was killed. */
const LEFT_OVER_MS = 3_600_000;

/** Removes what killed processes left in a folder of temporary things. Another process may be using what is fresh. */
export async function clearLeftOvers(folder: string, now: Temporal.Instant): Promise<void> {
  const names = await readdir(folder);
  await Promise.all(
    names.map(async (name) => {
      const path = join(folder, name);
      const found = await stat(path).catch(() => undefined);
      if (found && now.epochMilliseconds - found.mtimeMs > LEFT_OVER_MS)
        await rm(path, { recursive: true, force: true });
    }),
  );
}
