import type { parse as parseCsv } from 'csv-parse/browser/esm/sync'
import type { tableFile as readTable } from '../../open/table-file.ts'

interface Reader {
  readonly parse: typeof parseCsv
  readonly tableFile: typeof readTable
}

let reader: Reader | null = null

/** Gets what reads CSV, which comes only where a page is given a file. */
export async function fetchReader(): Promise<void> {
  if (reader) return
  const [{ parse }, { tableFile }] = await Promise.all([
    import('csv-parse/browser/esm/sync'),
    import('../../open/table-file.ts'),
  ])
  reader = { parse, tableFile }
}

/** These stand in the page's worker for what reads CSV, which has to be there before a sheet with a file is opened. */
export function parse(...words: Parameters<typeof parseCsv>): unknown {
  return here().parse(...words)
}

export function tableFile(...words: Parameters<typeof readTable>): ReturnType<typeof readTable> {
  return here().tableFile(...words)
}

function here(): Reader {
  if (!reader) throw new Error('the reader of CSV is not here')
  return reader
}
