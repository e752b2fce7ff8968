import './catalogue.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import { useMemo, useState, type ReactNode } from 'react';
import { troubleOf } from '../checklists/checklists-data.js';
import { useKeptDraft } from '../parts/kept-draft.js';
import { Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { useModel, useModelActs, type ServedModel } from './catalogue-data.js';
import { ModelEditor } from './model-editor.js';
import { typedModel } from './model-form.js';
import { ModelRead } from './model-read.js';
import { UnitsTable } from './units-table.js';

const route = getRouteApi('/catalogue/models/$sku');

/** One model: what it is, what its parts cost, what the maker promises, and the units that were delivered. */
export function ModelPage(): ReactNode {
  const { sku } = route.useParams();
  const found = useModel(sku);
  useTitle(found.data === undefined ? 'Model' : `${found.data.model.title} · Catalogue`);
  if (found.data) return <Found key={sku} served={found.data} />;
  return (
    <>
      <h1>Model</h1>
      {found.isError ? (
        <Failing trouble={found.error} again={() => void found.refetch()} />
      ) : (
        <Loading what="the model" />
      )}
    </>
  );
}

function Found({ served }: { readonly served: ServedModel }): ReactNode {
  const { model } = served;
  const { data: onlooker } = useOnlooker();
  const typed = useMemo(() => ({ document: typedModel(model), version: served.version }), [model, served.version]);
  const draft = useKeptDraft(`as-noted-model ${model.sku}`, typed);
  const [editing, setEditing] = useState(draft.changed);
  const { replacing } = useModelActs();
  const mayWrite = onlooker?.acts.includes('catalogue.write') === true;
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/catalogue">Catalogue</Link>
          </p>
          <h1>{model.title}</h1>
          <p className="nums">{model.sku}</p>
        </div>
        {mayWrite && !editing ? (
          <button type="button" onClick={() => setEditing(true)}>
            Change this model
          </button>
        ) : null}
      </div>
      {mayWrite && editing ? (
        <ModelEditor
          draft={draft}
          served={typed.document}
          trouble={troubleOf(replacing.error)}
          running={replacing.isPending}
          button="Save the model"
          onSend={(wanted) =>
            replacing.mutate(
              { model: wanted, base: draft.base },
              {
                onSuccess: (saved) => {
                  draft.begin({ document: typedModel(saved.model), version: saved.version });
                  setEditing(false);
                },
              },
            )
          }
          onClose={() => {
            draft.takeTheirs();
            replacing.reset();
            setEditing(false);
          }}
        />
      ) : (
        <ModelRead model={model} />
      )}
      <Units sku={model.sku} />
    </>
  );
}

function Units({ sku }: { readonly sku: string }): ReactNode {
  const [find, setFind] = useState('');
  return (
    <section className="sheet stack" id="units">
      <h2>Units</h2>
      <div className="field short" role="search">
        <label htmlFor="find">Serial number or order</label>
        <input
          id="find"
          type="search"
          maxLength={64}
          value={find}
          onChange={({ currentTarget }) => setFind(currentTarget.value)}
        />
      </div>
      <UnitsTable sku={sku} find={find.trim()} />
    </section>
  );
}
