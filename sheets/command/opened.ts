import { resolve } from 'node:path'
import type { Sheet } from '../sheet.ts'
import { loader, readSheet, type SheetFile } from './files.ts'
import { Refusal, type Shell } from './shell.ts'

/** Options that every verb takes. */
export interface Common {
  readonly json?: boolean
  readonly allowOutside?: boolean
}

/** A sheet read from its file and opened. */
export interface OpenedFile {
  readonly file: SheetFile
  readonly sheet: Sheet
  /** Where the sheet and the files that it names lie, those of its variants too: another verb reads them. */
  readonly read: readonly string[]
}

export async function openFile(named: string, options: Common, shell: Shell): Promise<OpenedFile> {
  const file = await readSheet(named, shell)
  const { openSheet } = await shell.library()
  const loads = loader(file, options.allowOutside ?? false)
  const tables: string[] = []
  const load = (path: string): string => {
    tables.push(path)
    return loads(path)
  }
  const sheet = openSheet(file.text, { name: file.name, load })
  const beside = [...tables, ...sheet.variantFiles].flatMap(path => (path === null ? [] : resolve(file.folder, path)))
  return { file, sheet, read: file.path === null ? beside : [file.path, ...beside] }
}

/** The values of `--set "NAME=EXPR"`, by name. */
export function settingsOf(written: readonly string[] = []): Readonly<Record<string, string>> {
  const settings = new Map<string, string>()
  for (const text of written) {
    const place = text.indexOf('=')
    const [name, value] = [text.slice(0, place).trim().replace(/\s+/g, ' '), text.slice(place + 1).trim()]
    if (place < 0 || name === '' || value === '') {
      throw new Refusal(
        `--set takes a name, an equals sign and a value, as in --set "throttle cap = 55 %"; "${text}" is not that.`,
      )
    }
    if (settings.has(name)) throw new Refusal(`--set gives "${name}" twice.`)
    settings.set(name, value)
  }
  return Object.fromEntries(settings)
}
