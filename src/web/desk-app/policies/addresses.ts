/** Where the sheet of a version is: read and written cell by cell. */
export function sheetOf(code: string, version: number): string {
  return `/policies/${encodeURIComponent(code)}/${version}`;
}

/** Where a version is proposed, approved, sent back or withdrawn, with what has to be seen before. */
export function reviewOf(code: string, version: number): string {
  return `${sheetOf(code, version)}/review`;
}

/** Where a version stands beside another one. */
export function differenceOf(code: string, version: number): string {
  return `${sheetOf(code, version)}/difference`;
}

/** Where a version is rehearsed on past claims. */
export function rehearseOf(code: string, version: number): string {
  return `${sheetOf(code, version)}/rehearse`;
}

/** The address of a version as a file. */
export function fileOf(code: string, version: number, format: 'dmn' | 'csv' | 'md' | 'json'): string {
  return `/v1/policies/${encodeURIComponent(code)}/versions/${version}/export?format=${format}`;
}
