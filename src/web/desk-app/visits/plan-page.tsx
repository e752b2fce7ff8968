import './visits.css';
import { Link, useNavigate } from '@tanstack/react-router';
import { useLayoutEffect, useRef, useState, type ReactNode } from 'react';
import { faultInForm, readVisit, rowsInUse } from '../../domain/visit-form.js';
import { Trouble } from '../api/http.js';
import { usePlanning, usePlanVisit } from '../api/visits.js';
import { TroubleNote } from '../parts/fields.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { OrderFields, PlaceFields, type Planning } from './plan-fields.js';
import { UnitRows } from './unit-rows.js';

/** Planning a visit. */
export function PlanPage(): ReactNode {
  const planning = usePlanning();
  useTitle('Plan a visit');
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/visits">Visits</Link>
          </p>
          <h1>Plan a visit</h1>
        </div>
      </div>
      {planning.isPending ? <Loading what="companies and models" /> : null}
      {planning.isError && planning.data === undefined ? (
        <Failing trouble={planning.error} again={() => void planning.refetch()} />
      ) : null}
      {planning.data === undefined ? null : lacks(planning.data) === undefined ? (
        <PlanForm planning={planning.data} />
      ) : (
        <Empty>{lacks(planning.data)}</Empty>
      )}
    </>
  );
}

/** What the house has to have before a visit can be planned. */
function lacks({ retailers, carriers, models }: Planning): string | undefined {
  if (retailers.length === 0) return 'The house has no retailer yet. An administrator adds it by the interface.';
  if (carriers.length === 0) return 'The house has no carrier yet. An administrator adds it by the interface.';
  if (models.length === 0) return 'The catalogue is empty. An administrator adds the first model.';
  return undefined;
}

function PlanForm({ planning }: { readonly planning: Planning }): ReactNode {
  const navigate = useNavigate();
  const [rows, setRows] = useState<readonly string[]>(['0']);
  const [sent, setSent] = useState<readonly string[]>([]);
  const [own, setOwn] = useState<Trouble>();
  const {
    plan,
    planning: sending,
    trouble,
  } = usePlanVisit((id) => {
    void navigate({ to: '/visits/$id', params: { id }, hash: 'links' });
  });
  const shown = own ?? (trouble === undefined ? undefined : inForm(trouble, sent));
  const form = useRef<HTMLFormElement>(null);
  useLayoutEffect(() => {
    // Whoever cannot see the note at the top is taken to the first field that needs another look.
    if (shown !== undefined) form.current?.querySelector<HTMLElement>('[aria-invalid]')?.focus();
  }, [shown?.detail, own]);
  return (
    <form
      ref={form}
      className="stack"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        const typed = typedIn(new FormData(event.currentTarget));
        const read = readVisit(typed, rows);
        setSent(rowsInUse(typed, rows));
        setOwn('faults' in read ? notYet(read.faults) : undefined);
        if ('plan' in read) plan(read.plan);
      }}
    >
      <TroubleNote trouble={shown} />
      <OrderFields planning={planning} trouble={shown} />
      <PlaceFields trouble={shown} />
      <UnitRows rows={rows} onRows={setRows} models={planning.models} trouble={shown} />
      <button className="go" disabled={sending}>
        {sending ? 'Sending…' : 'Plan the visit'}
      </button>
    </form>
  );
}

function typedIn(form: FormData): Record<string, string> {
  return Object.fromEntries([...form].flatMap(([name, value]) => (typeof value === 'string' ? [[name, value]] : [])));
}

/** What the form itself finds, before anything is sent. */
function notYet(faults: Trouble['faults']): Trouble {
  return new Trouble(
    400,
    'invalid-request',
    'Something in the form needs another look.',
    'Nothing was sent. What you typed is still here.',
    faults,
  );
}

/** A refusal of the service, its faults at the fields of the form. */
function inForm(trouble: Trouble, sent: readonly string[]): Trouble {
  const { status, code, title, detail, faults } = trouble;
  return new Trouble(
    status,
    code,
    title,
    detail,
    faults.map((fault) => faultInForm(fault, sent)),
  );
}
