import { COMPONENTS, FAMILIES, type Component, type Family } from '../../kernel/vocabulary.js';
import {
  InstantField,
  ListField,
  MinorField,
  OneOfField,
  TextField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import type { Model, Part, WarrantyTerm } from '../catalogue.contract.js';

const BASIS_POINTS = { min: 0, max: 10_000 };
const GRAMS = { max: 10_000_000 };

/** One node of the component tree. */
export class PartBody implements Part {
  @TextField({ max: 60, description: 'Unique within the model.' })
  number: string;

  @TextField({ max: 200 })
  title: string;

  @OneOfField(COMPONENTS)
  component: Component;

  @TextField({ max: 60, optional: true, description: 'Number of the part that this one belongs to; roots have none.' })
  parent?: string;

  @WholeField({ min: 0, max: 10_000, description: 'Pieces in the carton, as on the packing list.' })
  pieces: number;

  @MinorField()
  priceMinor: number;

  @MinorField()
  freightMinor: number;

  @WholeField({ min: 0, ...GRAMS })
  massGrams: number;

  @YesNoField({ description: 'The customer can fit it without opening a motor, supply or battery.' })
  customerFits: boolean;

  @WholeField({ ...BASIS_POINTS, description: 'Estimated chance that the repair fails again within a year.' })
  failsAgainBp: number;

  @YesNoField({ optional: true, description: 'Left out while it is not known.' })
  inStock?: boolean;

  @YesNoField({
    description: 'The spare that is sent when this component must be replaced; at most one per component.',
  })
  isSpare: boolean;
}

/** What the maker promises for one component, in months from delivery. */
export class WarrantyTermBody implements WarrantyTerm {
  @OneOfField(COMPONENTS)
  component: Component;

  @WholeField({ min: 0, max: 600 })
  fullMonths: number;

  @WholeField({ min: 0, max: 600 })
  proRataMonths: number;
}

/** A product model as it is written and read. Amounts are minor units of `currency`. */
export class ModelBody implements Model {
  @TextField({
    max: 60,
    pattern: /^[A-Za-z0-9][A-Za-z0-9._-]*$/,
    says: 'may hold letters, digits, dots, dashes and underscores',
  })
  sku: string;

  @TextField({ max: 200 })
  title: string;

  @OneOfField(FAMILIES)
  family: Family;

  @TextField({ max: 200 })
  maker: string;

  @WholeField({ min: 1, ...GRAMS, description: 'Mass of the packed carton.' })
  grossGrams: number;

  @WholeField({ min: 1, ...GRAMS, description: 'Mass of the unit alone.' })
  netGrams: number;

  @TextField({
    max: 200,
    description: 'Regular expression from ^ to $ that serial numbers match.',
    example: '^KR[0-9]{8}$',
  })
  serialPattern: string;

  @TextField({ min: 3, max: 3, description: 'ISO 4217', example: 'USD' })
  currency: string;

  @MinorField({ description: 'What a replacement unit costs the seller.' })
  unitCostMinor: number;

  @MinorField({ description: 'Bringing a replacement unit and taking the old one back.' })
  unitFreightMinor: number;

  @MinorField({ description: "One technician's visit." })
  visitCostMinor: number;

  @WholeField({ ...BASIS_POINTS, description: 'What is left of a returned unit, of its cost.' })
  salvageBp: number;

  @TextField({ max: 60, description: 'Code of the checklist.' })
  checklist: string;

  @TextField({ max: 60, description: 'Code of the evidence model.' })
  evidenceModel: string;

  @ListField(() => PartBody, { max: 500 })
  parts: PartBody[];

  @ListField(() => WarrantyTermBody, { max: 5 })
  warranty: WarrantyTermBody[];
}

/** What a list says of a model. */
export class ModelSummary {
  @TextField({ max: 60 })
  sku: string;

  @TextField({ max: 200 })
  title: string;

  @OneOfField(FAMILIES)
  family: string;

  @TextField({ max: 200 })
  maker: string;

  @TextField({ max: 3 })
  currency: string;

  @WholeField({ min: 1, max: 2_147_483_647 })
  version: number;

  @InstantField()
  updatedAt: string;
}

/** One page of models, in order of their codes. */
export class ModelPage {
  @ListField(() => ModelSummary, { max: 200 })
  items: ModelSummary[];

  @TextField({ max: 1000, optional: true, description: 'Cursor of the next page; absent on the last.' })
  next?: string;
}
