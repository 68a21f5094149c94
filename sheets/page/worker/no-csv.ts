/** Stands in for the reader of CSV: a page has no files beside its sheet, so that its worker never gets to read one. */
export function parse(): never {
  throw new Error('a page reads no CSV')
}
