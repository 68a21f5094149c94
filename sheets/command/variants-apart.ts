import { join } from 'node:path'
import type { VariantColumn } from '../variants/answer.ts'
import type { RowFormat } from '../variants/written.ts'
import { say } from './messages.ts'
import { inScratch } from './scratch.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { endedBy } from './stopping.ts'
import { variantRows } from './variants.ts'
import type { VariantsOptions } from './variants-words.ts'

/** A kind of file that is written at once, from rows that lie ready. */
export interface Whole {
  /** As in "holds the variants as a spreadsheet". */
  readonly kind: string
  /** How the rows are to lie ready. */
  readonly rows: RowFormat
  /** Writes the file from the rows at a path. */
  readonly write: (path: string, columns: readonly VariantColumn[], shell: Shell) => Promise<void>
}

/** `variants FILE --out x`: the rows are solved into a file of their own first, then written as a whole. */
export async function variantsApart(
  files: readonly string[],
  options: VariantsOptions & { readonly out: string },
  shell: Shell,
  whole: Whole,
): Promise<Status> {
  if (options.resume)
    throw new Refusal(`--resume goes on with a .csv or .ndjson file; a ${whole.kind} is written at once.`)
  const ended = await inScratch('rows', folder => writeBy(folder, files, options, shell, whole))
  return typeof ended === 'number' ? ended : endedBy(ended)
}

/** The status, or the signal that stopped it. */
async function writeBy(
  folder: string,
  files: readonly string[],
  options: VariantsOptions & { readonly out: string },
  shell: Shell,
  { kind, rows, write }: Whole,
): Promise<Status | NodeJS.Signals> {
  const path = join(folder, `rows.${rows}`)
  let columns: readonly VariantColumn[] = []
  const ended = await variantRows(files, { ...options, out: path, book: options.out }, shell, heard => {
    columns = heard
  })
  if (ended !== STATUS.done) return ended
  await write(path, columns, shell)
  say(shell, `${options.out} holds the variants as a ${kind}.`)
  return STATUS.done
}
