import './people.css';
import { useState, type ReactNode } from 'react';
import { usePeople, useRetailers, type Person } from '../api/people.js';
import { Note } from '../parts/parts.js';
import { Empty, Failing, Loading } from '../parts/states.js';
import { useTitle } from '../parts/title.js';
import { useOnlooker } from '../shell.js';
import { AddPerson } from './add-person.js';
import { KeysPart } from './keys-part.js';
import { PeopleTable } from './people-table.js';
import { PersonDialog } from './person-dialog.js';

/** The people of the house and the keys of its programs, for administrators. */
export function PeoplePage(): ReactNode {
  const { data: onlooker } = useOnlooker();
  const found = usePeople();
  const retailers = useRetailers();
  const [chosen, setChosen] = useState<string>();
  const [done, setDone] = useState('');
  useTitle('People and keys');
  const people = found.data?.pages.flatMap(({ items }) => items) ?? [];
  const person = people.find(({ id }) => id === chosen);
  const companies = retailers.data ?? [];
  const nameOf = ({ retailer }: Pick<Person, 'retailer'>): string | undefined =>
    retailer === undefined ? undefined : (companies.find(({ id }) => id === retailer)?.name ?? 'A retailer');
  return (
    <>
      <div className="head">
        <h1>People and keys</h1>
        <p className="row">
          <a href="#people">People</a>
          <a href="#keys">Keys for programs</a>
        </p>
      </div>
      <div role="status">
        {done === '' ? null : (
          <Note tone="ok">
            <p>{done}</p>
          </Note>
        )}
      </div>
      <section className="sheet stack" id="people">
        <h2>People</h2>
        {found.isPending ? <Loading what="the people" /> : null}
        {found.isError ? <Failing trouble={found.error} again={() => void found.refetch()} /> : null}
        {found.data && people.length === 0 ? <Empty>Nobody is here yet. Add the first person below.</Empty> : null}
        {people.length > 0 ? (
          <PeopleTable people={people} me={onlooker?.id} companyOf={nameOf} onChange={setChosen} />
        ) : null}
        {found.hasNextPage ? (
          <p>
            <button type="button" disabled={found.isFetchingNextPage} onClick={() => void found.fetchNextPage()}>
              {found.isFetchingNextPage ? 'Fetching…' : 'More people'}
            </button>
          </p>
        ) : null}
        {found.isPending ? null : (
          <AddPerson retailers={companies} onAdded={({ name }) => setDone(`${name} is added and can sign in.`)} />
        )}
      </section>
      {found.isPending ? null : <KeysPart retailers={companies} />}
      {person === undefined ? null : (
        <PersonDialog
          key={person.id}
          person={person}
          company={nameOf(person)}
          isMe={person.id === onlooker?.id}
          onClose={() => setChosen(undefined)}
          onDone={setDone}
        />
      )}
    </>
  );
}
