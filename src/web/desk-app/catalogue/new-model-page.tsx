import './catalogue.css';
import { Link, useNavigate } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { troubleOf } from '../checklists/checklists-data.js';
import { useKeptDraft } from '../parts/kept-draft.js';
import { Note } from '../parts/parts.js';
import { Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { useModelActs } from './catalogue-data.js';
import { ModelEditor } from './model-editor.js';
import { NEW_MODEL } from './model-form.js';

const NOTHING = { document: NEW_MODEL, version: 'new' };

/** A model that is added to the catalogue. */
export function NewModelPage(): ReactNode {
  const { data: onlooker } = useOnlooker();
  const draft = useKeptDraft('as-noted-model new', NOTHING);
  const { adding } = useModelActs();
  const navigate = useNavigate();
  useTitle('Add a model · Catalogue');
  const mayWrite = onlooker?.acts.includes('catalogue.write') === true;
  return (
    <>
      <div className="head">
        <div>
          <p className="quiet">
            <Link to="/catalogue">Catalogue</Link>
          </p>
          <h1>Add a model</h1>
        </div>
      </div>
      {onlooker === undefined ? <Loading what="what you may do" /> : null}
      {onlooker !== undefined && !mayWrite ? (
        <Note tone="info">
          <p>Models are added by administrators. Ask one of them.</p>
        </Note>
      ) : null}
      {mayWrite ? (
        <ModelEditor
          draft={draft}
          served={undefined}
          trouble={troubleOf(adding.error)}
          running={adding.isPending}
          button="Add the model"
          onSend={(model) =>
            adding.mutate(
              { model },
              {
                onSuccess: () => {
                  draft.takeTheirs();
                  void navigate({ to: '/catalogue/models/$sku', params: { sku: model.sku } });
                },
              },
            )
          }
        />
      ) : null}
    </>
  );
}
