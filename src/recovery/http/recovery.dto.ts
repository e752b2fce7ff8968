import {
  DocumentField,
  InstantField,
  ListField,
  MinorField,
  OneOfField,
  TextField,
  WholeField,
  YesNoField,
} from '../../platform/http/fields.js';
import { PageQuery } from '../../platform/http/pages.js';
import {
  LIABLE_PARTIES,
  PAPERS,
  RECOVERY_STATES,
  type LiableParty,
  type Paper,
  type RecoveryState,
} from '../recovery.contract.js';

const NOTICE_BY = ['consignee', 'sender'] as const;
const CURRENCY = {
  max: 3,
  min: 3,
  pattern: /^[A-Z]{3}$/,
  says: 'must be a currency code such as USD',
  example: 'USD',
} as const;

/** Which recoveries to list. */
export class RecoveryListQuery extends PageQuery {
  @OneOfField(RECOVERY_STATES, { optional: true })
  state?: RecoveryState;

  @OneOfField(LIABLE_PARTIES, { optional: true })
  party?: LiableParty;
}

/** One paper that supports the demand. */
export class PaperDto {
  @OneOfField(PAPERS)
  paper: Paper;

  @TextField({ max: 120, description: 'Its number, or where it is kept.', example: 'BOL 771203' })
  reference: string;
}

/** What a person adds to a recovery. What is given replaces what was there under the same name. */
export class ParticularsDto {
  @DocumentField({
    optional: true,
    description:
      'How the goods were carried, as `transport` of the claim file: regime, declaredValueMinor, agreedPerPoundMinor, writtenAgreement, higherValueOffered, conversion, packages, grossGrams, freightMinor, damagedOn, sdrRate.',
    example: { regime: 'domestic road', writtenAgreement: false },
  })
  transport?: object;

  @ListField(() => PaperDto, { optional: true, max: 20 })
  papers?: PaperDto[];

  @TextField({ optional: true, max: 64, description: 'Bill of lading, waybill or progressive number.' })
  shipmentReference?: string;

  @OneOfField(NOTICE_BY, { optional: true, description: 'Who gave the carrier written notice of the damage.' })
  noticeBy?: 'consignee' | 'sender';

  @YesNoField({ optional: true, description: 'Whether the amount is an estimate.' })
  amountIsEstimate?: boolean;

  @YesNoField({ optional: true, description: 'Whether a whole package never arrived.' })
  neverArrived?: boolean;

  @TextField({ optional: true, max: 2000 })
  words?: string;
}

export class SendingDto {
  @TextField({ optional: true, max: 2000 })
  words?: string;

  @TextField({ optional: true, min: 10, max: 2000, description: 'Why it goes out although it is no complete claim.' })
  despite?: string;
}

export class AcknowledgmentDto {
  @TextField({ max: 120, description: 'Number under which the party keeps the claim.', example: 'CL-20931' })
  reference: string;

  @InstantField({ optional: true, description: 'When it was acknowledged; left out: now.' })
  at?: string;
}

export class OfferDto {
  @MinorField({ description: 'In minor units.' })
  amountMinor: number;

  @TextField(CURRENCY)
  currency: string;

  @TextField({ optional: true, max: 2000 })
  words?: string;
}

export class ReceiptOfMoneyDto {
  @MinorField({ description: 'In minor units.' })
  amountMinor: number;

  @TextField(CURRENCY)
  currency: string;

  @TextField({ max: 120, description: 'Bank or sale reference.', example: 'PAY-4411' })
  reference: string;
}

export class DeclineDto {
  @TextField({ max: 2000, description: 'What the party gave as its reasons.' })
  words: string;

  @InstantField({ optional: true, description: 'When it declined in writing; left out: now.' })
  at?: string;
}

export class WriteOffDto {
  @WholeField({
    optional: true,
    min: 1,
    max: Number.MAX_SAFE_INTEGER,
    description: 'Left out: all that is still owed.',
  })
  amountMinor?: number;

  @TextField({ ...CURRENCY, optional: true })
  currency?: string;

  @TextField({ min: 10, max: 2000 })
  reason: string;
}

export class StatementQuery {
  @TextField({ optional: true, max: 200, description: 'One name, such as that of a carrier.' })
  name?: string;
}
