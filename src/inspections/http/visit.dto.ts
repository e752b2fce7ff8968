import { PARTIES, RECEIPTS, STAGES, type Party, type Receipt, type Stage } from '../../kernel/vocabulary.js';
import {
  DateField,
  InstantField,
  ListField,
  MinorField,
  NestedField,
  NumberField,
  OneOfField,
  TextField,
  TextListField,
  UuidField,
  WholeField,
  ZoneField,
} from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';
import {
  VISIT_STAGES,
  type Address,
  type CustodyRecord,
  type VisitOrder,
  type VisitStage,
} from '../inspections.contract.js';

const PLACE = { pattern: /^[A-Z]{2}(-[A-Z0-9]{1,3})?$/, says: 'must be a country like DE or a subdivision like US-CA' };
const CONDITIONS = ['clean', 'exceptions', 'not known'] as const;

/** The order line that the visit delivers, in minor units of one currency. */
export class VisitOrderBody implements VisitOrder {
  @TextField({ max: 100, description: 'Order number under which the retailer knows it.' })
  reference: string;

  @DateField()
  placedOn: string;

  @TextField({ min: 3, max: 3, description: 'ISO 4217; the currency of every model delivered.', example: 'EUR' })
  currency: string;

  @MinorField({ description: 'Price paid for the goods, without tax and delivery.' })
  priceMinor: number;

  @MinorField()
  taxMinor: number;

  @MinorField()
  deliveryMinor: number;
}

/** The place of a visit. */
export class AddressBody implements Address {
  @TextField({ max: 200, optional: true, description: 'Whose door it is.' })
  name?: string;

  @TextListField({ min: 1, max: 6, length: 200 })
  lines: string[];

  @TextField({ max: 100 })
  place: string;

  @TextField({ max: 20 })
  postcode: string;

  @TextField({ max: 6, ...PLACE, description: 'ISO 3166-1, optionally with ISO 3166-2.', example: 'US-OH' })
  country: string;

  @NumberField({ min: -90, max: 90, optional: true, description: 'WGS 84 degrees; shown to analysts only.' })
  latitude?: number;

  @NumberField({ min: -180, max: 180, optional: true })
  longitude?: number;
}

/** In whose hands the goods were at one stage, and in which condition they were taken over. */
export class CustodyBody implements CustodyRecord {
  @OneOfField(STAGES)
  stage: Stage;

  @OneOfField(PARTIES)
  party: Party;

  @OneOfField(CONDITIONS)
  condition: (typeof CONDITIONS)[number];

  @InstantField({ optional: true })
  at?: string;
}

/** A unit to be delivered. */
export class UnitBody {
  @TextField({ max: 60 })
  sku: string;

  @TextField({ max: 64, description: 'Checked against the serial pattern of the model.' })
  serial: string;
}

/** A visit to plan. */
export class VisitBody {
  @TextField({ max: 60, optional: true, description: 'Code of the retailer; a retailer may leave its own out.' })
  retailer?: string;

  @TextField({ max: 60, description: 'Code of the carrier.' })
  carrier: string;

  @NestedField(() => VisitOrderBody)
  order: VisitOrderBody;

  @NestedField(() => AddressBody)
  address: AddressBody;

  @TextField({
    max: 6,
    ...PLACE,
    optional: true,
    description: 'Whose law governs; absent: the country of the address.',
  })
  jurisdiction?: string;

  @ZoneField({ description: 'Time zone of the place of delivery.', example: 'America/Chicago' })
  zone: string;

  @InstantField()
  windowFrom: string;

  @InstantField()
  windowTo: string;

  @WholeField({ min: 1, max: 10 })
  crewSize: number;

  @ListField(() => CustodyBody, { max: 30, optional: true })
  custody?: CustodyBody[];

  @ListField(() => UnitBody, { min: 1, max: 50 })
  units: UnitBody[];
}

/** What the delivery receipt says. */
export class ReceiptBody {
  @OneOfField(RECEIPTS)
  kind: Receipt;

  @TextField({
    max: 2000,
    optional: true,
    description:
      'The words on it, as written. Needed with `exceptions noted`. "Subject to inspection" stays words: it notes nothing.',
  })
  words?: string;

  @InstantField()
  deliveredAt: string;
}

/** A company by the code and name that the tenant gave it. */
export class CompanyView {
  @TextField({ max: 60 })
  code: string;

  @TextField({ max: 200 })
  name: string;
}

/** A unit of a visit. */
export class UnitView extends UnitBody {
  @UuidField()
  id: string;

  @TextField({ max: 200 })
  title: string;
}

/** A visit. */
export class VisitView {
  @UuidField()
  id: string;

  @NestedField(() => CompanyView)
  retailer: CompanyView;

  @NestedField(() => CompanyView)
  carrier: CompanyView;

  @NestedField(() => VisitOrderBody)
  order: VisitOrderBody;

  @NestedField(() => AddressBody)
  address: Address;

  @TextField({ max: 6 })
  jurisdiction: string;

  @ZoneField()
  zone: string;

  @InstantField()
  windowFrom: string;

  @InstantField()
  windowTo: string;

  @WholeField({ min: 1, max: 10 })
  crewSize: number;

  @ListField(() => CustodyBody, { max: 30 })
  custody: readonly CustodyRecord[];

  @NestedField(() => ReceiptBody, { optional: true, description: 'Absent until the crew has noted it.' })
  receipt?: ReceiptBody;

  @ListField(() => UnitView, { max: 50 })
  units: readonly UnitView[];

  @OneOfField(VISIT_STAGES, {
    optional: true,
    description: 'Nothing was begun, an inspection is open, or everything that was begun is finished.',
  })
  stage?: VisitStage;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;
}

/** Which visits a list holds. */
export class VisitListQuery extends PageQuery {
  @TextField({
    min: 0,
    max: 80,
    optional: true,
    description: 'Part of an order number, a serial number, a street or a town.',
  })
  find?: string;

  @OneOfField(VISIT_STAGES, { optional: true })
  stage?: VisitStage;
}

/** One page of visits, the newest window first. */
export class VisitPage {
  @ListField(() => VisitView, { max: 200 })
  items: VisitView[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}
