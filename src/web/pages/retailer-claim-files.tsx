import type { VNode } from 'preact';
import { showTime } from '../domain/time-words.js';
import { text } from '../form-fields.js';
import { Choose, Field, Note, tied, TroubleNote } from './parts.js';
import type { RetailerClaimView } from './retailer-claim.js';

/** A photo that the retailer has just added, as it lies with us. */
export interface KeptFile {
  readonly id: string;
  readonly sha256: string;
}

/** What kinds of files are taken; the bytes decide in the end. */
const KINDS = 'image/jpeg,image/png,image/webp,image/heic,image/heif';

/** Adding photos and scans to a claim, or why that cannot be done. */
export function FilesForm({ view }: { readonly view: RetailerClaimView }): VNode {
  return (
    <section class="sheet stack" id="files">
      <h2>Add a photo or a scan</h2>
      <Inside view={view} />
    </section>
  );
}

function Inside({ view }: { readonly view: RetailerClaimView }): VNode {
  const { claim, fileItems } = view;
  if (claim.inspectionId === null) {
    return (
      <p>
        This claim rests on no inspection, so there is nothing that a file could be put to. Write what matters in an
        answer, or when you ask for another look.
      </p>
    );
  }
  if (claim.number === null) return <p>Files can be added once the claim is filed.</p>;
  if (claim.state === 'withdrawn') return <p>The claim was withdrawn, so it takes no more files.</p>;
  const tried = view.tried?.act === 'files' ? view.tried : undefined;
  return (
    <details open={tried !== undefined}>
      <summary>A receipt, a packing list, a picture from your customer</summary>
      {/* The choice stands before the files, because each file is taken in as it arrives. */}
      <form method="post" action={`/claims/${claim.id}/files`} enctype="multipart/form-data" class="stack">
        <TroubleNote trouble={tried?.trouble} />
        <Choose
          id="file-item"
          name="item"
          label="Which question of the inspection does it answer?"
          none="Choose"
          value={text(tried?.form, 'item')}
          options={fileItems}
          trouble={tried?.trouble}
        />
        <Field
          id="file-file"
          name="file"
          label="Photos or scans"
          hint="JPEG, PNG, WebP or HEIC, several at once if you like. A PDF is not taken: save its page as a picture first."
          trouble={tried?.trouble}
        >
          <input
            {...tied({
              id: 'file-file',
              name: 'file',
              hint: 'there is one',
              trouble: tried?.trouble,
            })}
            type="file"
            accept={KINDS}
            multiple
            required
          />
        </Field>
        {['decided', 'settling', 'settled', 'closed'].includes(claim.state) ? (
          <p class="small quiet">A file alone does not change the decision. Ask for another look as well.</p>
        ) : null}
        <button>Add it</button>
      </form>
    </details>
  );
}

/** The receipt for files that were added just now. */
export function FilesReceipt({ view }: { readonly view: RetailerClaimView }): VNode | null {
  if (view.kept === undefined || view.kept.length === 0) return null;
  return (
    <Note tone="ok" title={view.kept.length === 1 ? 'The file is in.' : `${view.kept.length} files are in.`}>
      <p>
        Whoever decides sees {view.kept.length === 1 ? 'it' : 'them'} with the photos of the inspection. Receipt of{' '}
        {showTime(view.now, view.zone)}:
      </p>
      <ul>
        {view.kept.map(({ id, sha256 }) => (
          <li>
            <span class="hash">{id}</span>, SHA-256 <span class="hash">{sha256}</span>
          </li>
        ))}
      </ul>
    </Note>
  );
}
