import type { ReactNode } from 'react';
import { sentenceCase } from '../../domain/trade-words.js';
import type { Person } from '../api/people.js';
import { Mark } from '../parts/parts.js';

interface PeopleTableProps {
  readonly people: readonly Person[];
  readonly me: string | undefined;
  /** Name of the retailer that somebody works for. */
  readonly companyOf: (person: Person) => string | undefined;
  readonly onChange: (id: string) => void;
}

/** Everybody who can sign in, or could, in order of their names. */
export function PeopleTable({ people, me, companyOf, onChange }: PeopleTableProps): ReactNode {
  return (
    <table className="cards">
      <caption className="away">People</caption>
      <thead>
        <tr>
          <th scope="col">Name</th>
          <th scope="col">Roles</th>
          <th scope="col">State</th>
          <th scope="col">
            <span className="away">Change</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {people.map((person) => {
          const company = companyOf(person);
          return (
            <tr key={person.id}>
              <th scope="row">
                {person.name}
                {person.id === me ? ' (you)' : ''}
                <span className="sub">{person.email}</span>
              </th>
              <td data-label="Roles">
                {sentenceCase(person.roles.join(', '))}
                {company === undefined ? null : <span className="sub">{company}</span>}
              </td>
              <td>
                {person.disabledAt === undefined ? (
                  <Mark shape="tick" tone="ok" says="Can sign in" />
                ) : (
                  <Mark shape="cross" tone="plainly" says="Shut out" />
                )}
              </td>
              <td>
                <button type="button" className="linklike" onClick={() => onChange(person.id)}>
                  Change <span className="away">{person.name}</span>
                </button>
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
