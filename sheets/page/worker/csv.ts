import type { parse as parseCsv } from 'csv-parse/browser/esm/sync'

let reader: typeof parseCsv | null = null

/** Gets the reader of CSV, which comes only where a page is given a file. */
export async function fetchReader(): Promise<void> {
  reader ??= (await import('csv-parse/browser/esm/sync')).parse
}

/** Stands in the page's worker for the reader of CSV, which has to be there before a sheet with a file is opened. */
export function parse(...words: Parameters<typeof parseCsv>): unknown {
  if (!reader) throw new Error('the reader of CSV is not here')
  return reader(...words)
}
