import { useMutation } from '@tanstack/react-query';
import type { PolicyDocument } from '../../../policies/policies.contract.js';
import { read, send, Trouble } from '../api/http.js';
import { versionAddress, type PolicyCheck, type ReadIn, type VersionLife } from '../api/policies.js';

/** What was understood of a file, and what the service says of it. Nothing of it is kept yet. */
export interface Understood extends ReadIn {
  readonly file: string;
  readonly kind: 'DMN' | 'CSV' | 'JSON';
  readonly check: PolicyCheck;
}

interface ReadWish {
  readonly file: File;
  /** The version that says what the file does not. */
  readonly base: { readonly code: string; readonly version: number } | undefined;
}

/** Largest file that is sent to be read, in characters; the service takes no more. */
const LONGEST = 900_000;

/** Reads a file by what it is, and looks at what came of it. */
export function useReadIn() {
  const reading = useMutation({
    mutationFn: async ({ file, base }: ReadWish): Promise<Understood> => {
      const text = await file.text();
      if (text.length > LONGEST)
        throw new Trouble(
          0,
          'file-too-long',
          'The file is too long.',
          `It has ${text.length} characters, and ${LONGEST} are read at most. Split the policy.`,
        );
      const kind = kindOf(text);
      const { document, notices } = await readAs(kind, text, base);
      const check = await send<PolicyCheck>('/v1/policies/checks', { method: 'POST', body: { document } });
      return { file: file.name, kind, document, notices, check: check.body };
    },
  });
  return {
    run: (wish: ReadWish) => reading.mutate(wish),
    reset: () => reading.reset(),
    understood: reading.data,
    trouble: reading.error instanceof Trouble ? reading.error : undefined,
    running: reading.isPending,
  };
}

function kindOf(text: string): Understood['kind'] {
  const start = text.replace(/^\uFEFF/, '').trimStart();
  return start.startsWith('<') ? 'DMN' : start.startsWith('{') ? 'JSON' : 'CSV';
}

async function readAs(kind: Understood['kind'], text: string, base: ReadWish['base']): Promise<ReadIn> {
  if (kind === 'JSON') return { document: parsed(text), notices: [] };
  if (kind === 'DMN') {
    const head = base === undefined ? {} : { head: await headOf(base) };
    return (await send<ReadIn>('/v1/policies/imports', { method: 'POST', body: { xml: text, ...head } })).body;
  }
  if (base === undefined)
    throw new Trouble(
      0,
      'base-missing',
      'Tables alone are no policy.',
      'Choose the version that says what the file does not: facts, clocks, examples. Then read it again.',
    );
  const address = `${versionAddress(base.code, base.version)}/imports`;
  return (await send<ReadIn>(address, { method: 'POST', body: { csv: text } })).body;
}

/** The head of a version, for a decision model that has none of its own. */
async function headOf({ code, version }: NonNullable<ReadWish['base']>): Promise<object> {
  const { document } = (await read<VersionLife>(versionAddress(code, version))).body;
  const { id, title, jurisdiction, caution, governedBy, zone, money } = document;
  return { id, title, jurisdiction, caution, governedBy, zone, money };
}

function parsed(text: string): PolicyDocument {
  try {
    // What it holds is checked by the service, which names every fault with its place.
    return JSON.parse(text) as PolicyDocument;
  } catch (error) {
    throw new Trouble(
      0,
      'not-json',
      'The file is no JSON.',
      `${error instanceof Error ? error.message : 'It cannot be read'}. Export it again and try that file.`,
    );
  }
}
