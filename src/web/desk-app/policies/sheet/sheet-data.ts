import { useQuery } from '@tanstack/react-query';
import type { PolicyDocument } from '../../../../policies/policies.contract.js';
import { read, send } from '../../api/http.js';
import type { Draft } from './draft-history.js';

/** A version of a policy as the service shows it, as far as the sheet reads it. */
interface VersionShown {
  readonly id: string;
  readonly code: string;
  readonly version: number;
  readonly state: VersionState;
  readonly title: string;
  readonly effectiveFrom: string;
  readonly effectiveTo?: string;
  readonly document: PolicyDocument;
  readonly steps: readonly { readonly kind: string; readonly at: string; readonly by: string }[];
}
type VersionState = 'draft' | 'proposed' | 'approved' | 'scheduled' | 'in force' | 'superseded' | 'withdrawn';

/** A version with the tag under which it was read. */
export interface Version extends VersionShown {
  readonly tag: string;
}

/** States in which a version can still be written. */
export function isOpen(state: VersionState): boolean {
  return state === 'draft' || state === 'proposed' || state === 'approved';
}

const addressOf = (code: string, version: number): string =>
  `/v1/policies/${encodeURIComponent(code)}/versions/${version}`;

/** One version; read again when the service says that versions have changed. */
export function useVersion(code: string, version: number) {
  return useQuery({
    queryKey: ['policy-versions', code, version],
    queryFn: async ({ signal }) => versionOf(await read<VersionShown>(addressOf(code, version), signal)),
  });
}

/** Writes over a version that is not published. @param tag of what the draft rests on @throws Trouble */
export async function saveVersion(code: string, version: number, tag: string, draft: Draft): Promise<Version> {
  const sending = { method: 'PUT', body: bodyOf(draft), version: tag } as const;
  return versionOf(await send<VersionShown>(addressOf(code, version), sending));
}

/** A new draft with what a version says. @throws Trouble */
export async function beginVersion(code: string, draft: Draft, key: string): Promise<{ readonly version: number }> {
  const address = `/v1/policies/${encodeURIComponent(code)}/versions`;
  return (await send<{ readonly version: number }>(address, { method: 'POST', body: bodyOf(draft), key })).body;
}

/** What can be written of a version. */
export function draftOf({ document, effectiveFrom, effectiveTo }: VersionShown): Draft {
  return { document, effectiveFrom, ...(effectiveTo === undefined ? {} : { effectiveTo }) };
}

function versionOf({ body, version }: { readonly body: VersionShown; readonly version: string | undefined }): Version {
  return { ...body, tag: version ?? '' };
}

/** The service numbers versions itself. */
function bodyOf({ document, effectiveFrom, effectiveTo }: Draft): object {
  return { document, effectiveFrom, ...(effectiveTo === undefined ? {} : { effectiveTo }) };
}
