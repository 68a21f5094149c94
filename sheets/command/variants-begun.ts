import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import type { Sheet } from '../sheet.ts'
import type { Variants } from '../variants/answer.ts'
import type { TallyWishes } from '../variants/tally.ts'
import { loader, pathFrom, readSheet, reason, type SheetFile } from './files.ts'
import { settingsOf } from './opened.ts'
import { Refusal, type Shell } from './shell.ts'
import type { Opening } from './variants-crew.ts'
import { headOf, rowsAbout } from './variants-input.ts'
import type { VariantsOptions, Wanted } from './variants-words.ts'

/** A sheet opened for its variants, with all that workers need to open it as well. */
export interface Begun {
  readonly file: SheetFile
  readonly answer: Variants
  readonly opening: Opening
  /** Files of the blocks, block by block. */
  readonly paths: readonly (string | null)[]
}

export async function openVariants(named: string, options: VariantsOptions, shell: Shell): Promise<Begun> {
  const file = await readSheet(named, shell)
  const { openSheet } = await shell.library()
  const outside = options.allowOutside ?? false
  const texts: Record<string, string> = {}
  const read = loader(file, outside)
  const load = (path: string): string => {
    texts[path] = read(path)
    return texts[path]
  }
  const sheet = openSheet(file.text, { name: file.name, load })
  const set = settingsOf(options.set)
  const { paths, heads } = await filesOf(sheet, file, outside)
  const answer = sheet.variants({ set, heads })
  return { file, answer, opening: { text: file.text, name: file.name, texts, set, heads }, paths }
}

/** The files that blocks name, each with its first row. */
async function filesOf(sheet: Sheet, file: SheetFile, outside: boolean) {
  const paths: (string | null)[] = []
  const heads: (readonly string[] | null)[] = []
  for (const named of sheet.variantFiles) {
    if (named === null) {
      paths.push(null)
      heads.push(null)
      continue
    }
    try {
      const path = pathFrom(file, outside, named)
      heads.push((await headOf(path)) ?? [])
      paths.push(path)
    } catch (error) {
      const why = error instanceof Error && !('code' in error) ? error.message : `${reason(error)}.`
      throw new Refusal(`The file "${named}" cannot be read: ${why}`)
    }
  }
  return { paths, heads }
}

/** A digest of all that the rows hang on, so that a run is gone on with only from the same beginnings. */
export async function digestOf(
  { opening, paths }: Begun,
  { share, only, format }: Wanted,
  wishes: TallyWishes,
): Promise<string> {
  const hash = createHash('sha256')
  // Where rows are left out, what was counted cannot be counted anew from them.
  const counted = only === null ? null : wishes
  hash.update(JSON.stringify([opening.text, opening.texts, opening.set, share, only, format, counted]))
  for (const path of paths)
    if (path !== null) for await (const part of createReadStream(path)) hash.update(part as Uint8Array)
  return hash.digest('hex')
}

/** How many variants the share holds, about where files are read. */
export async function totalOf({ answer, paths }: Begun, { share: [i, n] }: Wanted): Promise<number | null> {
  let total = 0
  for (const [block, { count }] of answer.blocks.entries()) total += count ?? (await rowsAbout(paths[block]!))
  return Math.max(0, Math.ceil((total - i + 1) / n))
}
