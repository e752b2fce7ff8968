import { Link } from '@tanstack/react-router';
import type { ReactNode } from 'react';
import { Time } from '../parts/parts.js';
import { Failing, Loading } from '../parts/states.js';
import { useOnlooker } from '../shell.js';
import { useUnits, type UnitLine } from './catalogue-data.js';

interface UnitsTableProps {
  /** Code of a model; empty for all. */
  readonly sku: string;
  /** Part of a serial number or order reference; empty for all. */
  readonly find: string;
}

/** Units with the visits that brought them, each leading to its claims. */
export function UnitsTable({ sku, find }: UnitsTableProps): ReactNode {
  const found = useUnits({ sku, find });
  const { data: onlooker } = useOnlooker();
  const seesClaims = onlooker?.acts.includes('recovery.read') === true;
  const units = found.data?.pages.flatMap(({ items }) => items) ?? [];
  if (found.isPending) return <Loading what="the units" />;
  if (found.isError) return <Failing trouble={found.error} again={() => void found.refetch()} />;
  if (units.length === 0)
    return (
      <p className="quiet">
        {find === '' ? 'No visit has brought a unit of this model yet.' : 'No unit has such a number or order.'}
      </p>
    );
  return (
    <>
      <table className="cards">
        <caption className="away">Units</caption>
        <thead>
          <tr>
            <th scope="col">Serial number</th>
            {sku === '' ? <th scope="col">Model</th> : null}
            <th scope="col">Order</th>
            <th scope="col">Visit</th>
            <th scope="col">Delivered</th>
            {seesClaims ? <th scope="col">Claims</th> : null}
          </tr>
        </thead>
        <tbody>
          {units.map((unit) => (
            <Row key={unit.id} unit={unit} withModel={sku === ''} seesClaims={seesClaims} />
          ))}
        </tbody>
      </table>
      {found.hasNextPage ? (
        <button type="button" disabled={found.isFetchingNextPage} onClick={() => void found.fetchNextPage()}>
          {found.isFetchingNextPage ? 'Fetching…' : 'Show more units'}
        </button>
      ) : null}
    </>
  );
}

function Row(props: { readonly unit: UnitLine; readonly withModel: boolean; readonly seesClaims: boolean }): ReactNode {
  const { unit, withModel, seesClaims } = props;
  return (
    <tr>
      <th scope="row" className="nums">
        {unit.serial}
      </th>
      {withModel ? (
        <td data-label="Model">
          <Link to="/catalogue/models/$sku" params={{ sku: unit.sku }}>
            {unit.sku}
          </Link>
        </td>
      ) : null}
      <td data-label="Order">
        <span className="nums">{unit.orderReference}</span>
        <span className="sub">{unit.retailer}</span>
      </td>
      <td data-label="Visit">
        <Time at={unit.windowFrom} />
      </td>
      <td data-label="Delivered">
        {unit.deliveredAt === undefined ? 'Not noted yet' : <Time at={unit.deliveredAt} />}
      </td>
      {seesClaims ? (
        <td data-label="Claims">
          <Link to="/" search={{ view: 'all', find: unit.serial }} aria-label={`Claims on ${unit.serial}`}>
            Claims
          </Link>
        </td>
      ) : null}
    </tr>
  );
}
