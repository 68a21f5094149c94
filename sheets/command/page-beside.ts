import { type FilesBeside, MOST_BESIDE } from '../page/files-beside.ts'
import { loader, type SheetFile } from './files.ts'
import type { Shell } from './shell.ts'

/** The files that a sheet names, and a sentence for each that the page goes without. */
export interface FilesFound {
  readonly files: FilesBeside
  readonly left: readonly string[]
}

/** Reads the files that a sheet's tables and variants name, from its own folder as every verb does, as long as a page can carry them. */
export async function filesOf(sheet: SheetFile, outside: boolean, shell: Shell): Promise<FilesFound> {
  const read = loader(sheet, outside)
  const files = new Map<string, string>()
  const left = new Map<string, string>()
  let size = 0
  const take = (path: string): string => {
    const known = files.get(path)
    if (known !== undefined) return known
    try {
      const text = read(path)
      if (size + text.length > MOST_BESIDE)
        throw new Error(`a page carries no more than ${MOST_BESIDE / 1e6} MB of files beside its sheet.`)
      size += text.length
      files.set(path, text)
      return text
    } catch (error) {
      left.set(path, `The page goes without ${path}: ${error instanceof Error ? error.message : String(error)}`)
      throw error
    }
  }
  const { openSheet } = await shell.library()
  const { variantFiles } = openSheet(sheet.text, { name: sheet.name, load: take })
  for (const path of variantFiles) if (path !== null) attempt(() => take(path))
  return { files: Object.fromEntries(files), left: [...left.values()] }
}

/** What goes wrong with a file is told where it is read. */
function attempt(act: () => void): void {
  try {
    act()
  } catch {}
}
