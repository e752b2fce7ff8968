/** Policies for and from other programs: DMN 1.3 XML and CSV in both directions, Markdown out. */
export { toCsv } from './exchange/csv-export.js';
export { fromCsv, type CsvImport } from './exchange/csv-import.js';
export { toDmn, type DmnExport } from './exchange/dmn-export.js';
export { fromDmn, type DmnImport, type PolicyHead } from './exchange/dmn-import.js';
export type { DmnFault } from './exchange/dmn-source.js';
export { toMarkdown } from './exchange/markdown-export.js';
