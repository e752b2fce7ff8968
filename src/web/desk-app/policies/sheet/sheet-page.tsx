import './sheet.css';
import { getRouteApi, Link } from '@tanstack/react-router';
import { useEffect, type ReactNode } from 'react';
import { useOnlooker } from '../../shell.js';
import { Failing, Loading } from '../../parts/states.js';
import { useTitle } from '../../parts/title.js';
import { draftOf, useVersion, type Version } from './sheet-data.js';
import { take, useWork, workKey } from './sheet-store.js';
import { Sheet } from './sheet.js';

const route = getRouteApi('/policies/$id/$version');

/** The sheet of one version of a policy: to be read by everybody at the desk, to be written by policy owners while it is a draft. */
export function SheetPage(): ReactNode {
  const { id, version } = route.useParams();
  const { found, key, mayEdit } = useSheet(id, version);
  const work = useWork(key);
  useTitle(found.data === undefined ? 'Policy' : `${found.data.title}, version ${version}`);
  if (found.data !== undefined && work !== undefined && key !== '')
    return <Sheet key={key} workKey={key} version={found.data} work={work} mayEdit={mayEdit} />;
  return (
    <>
      <h1>Policy {id}</h1>
      {found.isError ? (
        <>
          <Failing trouble={found.error} again={() => void found.refetch()} />
          <p>
            <Link to="/policies">All policies</Link>
          </p>
        </>
      ) : (
        <Loading what="the sheet" />
      )}
    </>
  );
}

/** A version, and the work of whoever looks at it. */
export function useSheet(id: string, version: string) {
  const { data: onlooker } = useOnlooker();
  const found = useVersion(id, Number(version));
  const key = onlooker === undefined ? '' : workKey(onlooker.id, id, Number(version));
  const tag = found.data?.tag;
  useEffect(() => {
    if (key !== '' && found.data !== undefined) take(key, baseOf(found.data));
    // The tag says whether the version has changed.
  }, [key, tag]);
  return { found, key, mayEdit: onlooker?.acts.includes('policy.edit') ?? false };
}

function baseOf(version: Version): { readonly tag: string; readonly draft: ReturnType<typeof draftOf> } {
  return { tag: version.tag, draft: draftOf(version) };
}
