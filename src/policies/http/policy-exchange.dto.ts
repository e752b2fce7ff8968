import { DateField, DocumentField, OneOfField, TextField, TextListField } from '../../platform/http/fields.js';

export const EXPORT_FORMATS = ['json', 'dmn', 'csv', 'md'] as const;
export type ExportFormat = (typeof EXPORT_FORMATS)[number];

/** What a version is written as. */
export class ExportQuery {
  @OneOfField(EXPORT_FORMATS, { optional: true, description: 'Absent: json.' })
  format?: ExportFormat;

  @DateField({ optional: true, description: 'Day whose parameter values other programs see; dmn only. Absent: today.' })
  on?: string;
}

/** A decision model of another program. */
export class ImportBody {
  @TextField({ max: 900_000, description: 'DMN XML. Document types and entities are refused, nothing is fetched.' })
  xml: string;

  @DocumentField({
    optional: true,
    description:
      'What a foreign model does not say of itself: id, title, jurisdiction, caution, governedBy, zone, money.',
  })
  head?: Record<string, unknown>;
}

/** Tables and parameters as comma-separated values, in the form in which a version is exported. */
export class CsvImportBody {
  @TextField({
    max: 900_000,
    description: 'The file (RFC 4180); semicolons between the fields are understood as well.',
  })
  csv: string;
}

/** The policy that was read. It is stored by writing it as a new version. */
export class ImportView {
  @DocumentField({ description: 'Document of format policy/1.' })
  document: Record<string, unknown>;

  @TextListField({
    max: 10_000,
    length: 2000,
    description: 'What was left out because it decides nothing, one sentence each.',
  })
  notices: string[];
}
