import type { VNode } from 'preact';
import type { AddressKind, KeptAddress, OwnCompany } from '../../access/own-company.service.js';
import { text, type Form, type Trouble } from '../form-fields.js';
import { Office, type Onlooker } from './layout.js';
import { Mark, Note, TextBox, Time, TroubleNote } from './parts.js';

export interface RetailerCompanyView {
  readonly onlooker: Onlooker;
  readonly company: OwnCompany;
  /** Id of whoever looks. */
  readonly me: string;
  readonly changed?: AddressKind | undefined;
  readonly tried?: { readonly kind: AddressKind; readonly form: Form; readonly trouble: Trouble } | undefined;
}

const ADDRESSES = {
  letters: {
    title: 'Where letters go',
    hint: 'Stands at the head of your letters from the day you keep it. Letters about older decisions stay as they were.',
  },
  goods: {
    title: 'Where goods go',
    hint: 'For units and parts that come back to you. The desk reads it where it plans the way back.',
  },
} as const satisfies Readonly<Record<AddressKind, { readonly title: string; readonly hint: string }>>;

/** Who of the retailer sees what, and where goods and letters go. */
export function RetailerCompany(view: RetailerCompanyView): VNode {
  const { company } = view;
  return (
    <Office title="People and address" onlooker={view.onlooker} at="/claims/company">
      <div class="stack">
        <h1>{company.name}</h1>
        <p class="lead">Who of your company sees your claims with {company.house}, and where goods and letters go.</p>
        {view.changed === undefined ? null : (
          <Note tone="ok" title="The address is kept.">
            <p>It counts from now on. The one before it stays on record, with who changed it and when.</p>
          </Note>
        )}
        <section class="sheet stack" id="people">
          <h2>People</h2>
          <People {...view} />
          <p>
            Each of them sees every claim and delivery of your company, answers questions, adds files, asks for another
            look, and makes and ends keys. Nobody of another retailer sees any of it. The desk’s reasons and who answers
            for the damage stay with {company.house}.
          </p>
          <p id="whom">
            Somebody joins or leaves? {company.house} lets people in and shuts them out:{' '}
            {company.administrators.length === 0 ? 'ask its office.' : `ask ${orList(company.administrators)}.`} When
            somebody leaves, look at <a href="/claims/keys">your keys</a> as well: they may have copied one.
          </p>
        </section>
        {(['letters', 'goods'] as const).map((kind) => (
          <Address view={view} kind={kind} />
        ))}
      </div>
    </Office>
  );
}

function People({ company, me }: RetailerCompanyView): VNode {
  return (
    <table class="cards">
      <caption class="away">People of {company.name}</caption>
      <thead>
        <tr>
          <th scope="col">Name</th>
          <th scope="col">Signs in as</th>
          <th scope="col">Since</th>
          <th scope="col">State</th>
        </tr>
      </thead>
      <tbody>
        {company.people.map(({ id, name, email, since, shutOut }) => (
          <tr>
            <th scope="row">
              {name}
              {id === me ? ' (you)' : ''}
            </th>
            <td data-label="Signs in as">{email}</td>
            <td data-label="Since">
              <Time at={since} />
            </td>
            <td>
              {shutOut ? (
                <Mark shape="cross" tone="plainly" says="Shut out" />
              ) : (
                <Mark shape="tick" tone="ok" says="Sees everything of yours" />
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Address({ view, kind }: { readonly view: RetailerCompanyView; readonly kind: AddressKind }): VNode {
  const [now, ...before] = view.company.addresses.filter((each) => each.kind === kind);
  const tried = view.tried?.kind === kind ? view.tried : undefined;
  return (
    <section class="sheet stack" id={kind}>
      <h2>{ADDRESSES[kind].title}</h2>
      {now === undefined ? <p class="quiet">No address is on record.</p> : <Kept of={now} />}
      <details open={tried !== undefined}>
        <summary>{now === undefined ? 'Give an address' : 'Change it'}</summary>
        <form method="post" action={`/claims/company/${kind}`} class="stack">
          <TroubleNote trouble={tried?.trouble} />
          <TextBox
            id={`lines-${kind}`}
            name="lines"
            label={`Address for ${kind}`}
            hint={ADDRESSES[kind].hint}
            value={tried === undefined ? (now?.lines ?? '') : text(tried.form, 'lines')}
            required
            rows={5}
            max={500}
            trouble={tried?.trouble}
          />
          <button>Keep this address</button>
        </form>
      </details>
      {before.length === 0 ? null : (
        <details>
          <summary>Before</summary>
          <ol class="plain stack">
            {before.map((each) => (
              <li>
                <Kept of={each} />
              </li>
            ))}
          </ol>
        </details>
      )}
    </section>
  );
}

function Kept({ of }: { readonly of: KeptAddress }): VNode {
  return (
    <>
      <address class="lines">{of.lines}</address>
      <p class="small quiet">
        {of.changedBy}, <Time at={of.changedAt} />
      </p>
    </>
  );
}

/** "Ada", "Ada or Ben", "Ada, Ben or Cleo". */
function orList(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} or ${names.at(-1) ?? ''}`;
}
