/** One page of the objects of a bucket. */
export interface Listing {
  readonly objects: readonly { readonly key: string; readonly bytes: number; readonly changedAt: Temporal.Instant }[];
  /** Token of the next page; undefined on the last. */
  readonly next: string | undefined;
}

/**
 * Reads the answer to ListObjectsV2. Only four elements are looked for and none of ours needs escaping, so no XML parser is wanted.
 * @throws Error when the text is not such an answer
 */
export function listing(xml: string): Listing {
  if (!xml.includes('<ListBucketResult')) throw new Error('the object store answered a listing with something else');
  const objects = [...xml.matchAll(/<Contents>([\s\S]*?)<\/Contents>/g)].flatMap(([, entry = '']) => {
    const [key, size, changed] = [inside(entry, 'Key'), inside(entry, 'Size'), inside(entry, 'LastModified')];
    if (key === undefined || size === undefined || changed === undefined) return [];
    return [{ key, bytes: Number(size), changedAt: Temporal.Instant.from(changed) }];
  });
  const more = inside(xml, 'IsTruncated') === 'true';
  return { objects, next: more ? inside(xml, 'NextContinuationToken') : undefined };
}

function inside(xml: string, element: string): string | undefined {
  return new RegExp(`<${element}>([^<]*)</${element}>`).exec(xml)?.[1];
}
