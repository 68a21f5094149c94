/** Kinds of files that are written at once, from rows that lie ready: what they are called, null for one whose rows are written one by one. */
export function wholeKind(named: string): 'spreadsheet' | 'Parquet file' | null {
  if (/\.xlsx$/i.test(named)) return 'spreadsheet'
  return /\.parquet$/i.test(named) ? 'Parquet file' : null
}
