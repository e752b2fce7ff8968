import './catalogue.css';
import { getRouteApi, Link, useNavigate } from '@tanstack/react-router';
import { useRef, type ReactNode } from 'react';
import { sentenceCase } from '../../domain/trade-words.js';
import { Pick } from '../parts/pick.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { useModels, type ModelLine } from './catalogue-data.js';
import { UnitsTable } from './units-table.js';

const route = getRouteApi('/catalogue');

/** Every model by its maker, and units by their serial numbers. */
export function CataloguePage(): ReactNode {
  const { find = '', maker = '' } = route.useSearch();
  const found = useModels();
  const navigate = useNavigate();
  const { data: onlooker } = useOnlooker();
  useTitle('Catalogue');
  const models = found.data ?? [];
  const makers = [...new Set(models.map((model) => model.maker))].toSorted((a, b) => a.localeCompare(b));
  const shown = models.filter((model) => (maker === '' || model.maker === maker) && fits(model, find));
  const go = (search: { readonly find?: string; readonly maker?: string }): void =>
    void navigate({ to: '/catalogue', search: { find, maker, ...search } });
  return (
    <>
      <div className="head">
        <h1>Catalogue</h1>
        {onlooker?.acts.includes('catalogue.write') === true ? (
          <Link to="/catalogue/new" className="button">
            Add a model
          </Link>
        ) : null}
      </div>
      <div className="row filters">
        <Find find={find} onFind={(typed) => go({ find: typed })} />
        <Pick
          id="maker"
          label="Maker"
          value={maker}
          onPick={(picked) => go({ maker: picked })}
          options={[['', 'Every maker'], ...makers.map((each) => [each, each] as const)]}
        />
      </div>
      {found.isPending ? <Loading what="the models" /> : null}
      {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
      {found.data && shown.length === 0 ? (
        <Empty>
          {models.length === 0
            ? 'The catalogue is empty. An administrator adds the first model; visits need one.'
            : 'No model is like that. Find something else, or choose every maker.'}
        </Empty>
      ) : null}
      {shown.length > 0 ? <Models models={shown} /> : null}
      {find === '' ? null : (
        <section className="sheet stack">
          <h2>Units found for “{find}”</h2>
          <UnitsTable sku="" find={find} />
        </section>
      )}
    </>
  );
}

function Find({ find, onFind }: { readonly find: string; readonly onFind: (typed: string) => void }): ReactNode {
  const box = useRef<HTMLInputElement>(null);
  return (
    <form
      className="find"
      role="search"
      onSubmit={(event) => {
        event.preventDefault();
        onFind(box.current?.value.trim() ?? '');
      }}
    >
      <div className="field">
        <label htmlFor="find">Model, maker, serial or order</label>
        <input id="find" ref={box} key={find} type="search" maxLength={64} defaultValue={find} />
      </div>
      <button>Find</button>
    </form>
  );
}

function fits({ sku, title, maker, family }: ModelLine, find: string): boolean {
  return [sku, title, maker, family].some((text) => text.toLowerCase().includes(find.toLowerCase()));
}

function Models({ models }: { readonly models: readonly ModelLine[] }): ReactNode {
  return (
    <table className="cards">
      <caption className="away">Models</caption>
      <thead>
        <tr>
          <th scope="col">Model</th>
          <th scope="col">Maker</th>
          <th scope="col">Kind</th>
          <th scope="col">Currency</th>
        </tr>
      </thead>
      <tbody>
        {models.map(({ sku, title, maker, family, currency }) => (
          <tr key={sku}>
            <th scope="row">
              <Link to="/catalogue/models/$sku" params={{ sku }}>
                {title}
              </Link>
              <span className="sub nums">{sku}</span>
            </th>
            <td data-label="Maker">{maker}</td>
            <td data-label="Kind">{sentenceCase(family)}</td>
            <td data-label="Currency">{currency}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
