import type { Sheet } from 'write-excel-file/universal'
import { listed } from '../../report/listed.ts'
import type { WorkbookSheet } from '../../workbook/workbook.ts'
import { type FilesBeside, keyOf, MOST_BESIDE, sizeOf } from '../files-beside.ts'
import type { FlightView } from '../spoken.ts'
import { sayNow } from './aloud.ts'
import { opened, written } from './draft.ts'
import * as store from './store.ts'

/** Hands a file to the browser's own way of saving. */
export function save(name: string, content: BlobPart, type: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(new Blob([content], { type }))
  link.download = name
  link.click()
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000)
}

function stem(): string {
  return store.fileName.value.replace(/\.loft$/i, '') || 'sheet'
}

export function saveSheet(): void {
  const name = `${stem()}.loft`
  save(name, written(store.draft.value), 'text/plain;charset=utf-8')
  store.kept.value = `saved to ${name}`
  sayNow(store.kept.value)
}

/** The inks of a picture put in as colours, so that it stands on its own outside the page. */
export function standalone(svg: string): string {
  const style = getComputedStyle(document.documentElement)
  return svg.replace(/var\((--\w+)\)/g, (_, name: string) => style.getPropertyValue(name).trim())
}

/** Saves a picture twice: as drawn (SVG) and as a PNG of twice its size. */
export function savePicture(svg: string, name: string): void {
  const drawn = standalone(svg)
  save(`${stem()}-${name}.svg`, drawn, 'image/svg+xml')
  const image = new Image()
  const address = URL.createObjectURL(new Blob([drawn], { type: 'image/svg+xml' }))
  image.onload = () => {
    const canvas = document.createElement('canvas')
    canvas.width = 2 * image.naturalWidth
    canvas.height = 2 * image.naturalHeight
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height)
    URL.revokeObjectURL(address)
    canvas.toBlob(blob => {
      if (blob) save(`${stem()}-${name}.png`, blob, 'image/png')
    })
  }
  image.src = address
}

/** A flight's rows as CSV. */
export function saveRows({ columns, units, rows, name }: FlightView): void {
  const head = columns.map((column, k) => (units[k] ? `${column} [${units[k]}]` : column)).join(',')
  const width = columns.length
  const lines = Array.from({ length: rows.length / width }, (_, k) =>
    Array.from(rows.subarray(k * width, (k + 1) * width), value => (Number.isFinite(value) ? String(value) : '')).join(
      ',',
    ),
  )
  save(`${stem()}-${name}.csv`, `${[head, ...lines].join('\n')}\n`, 'text/csv')
}

/** A table of words as CSV; what holds a comma, a quote or a line end is quoted. */
export function saveTable(name: string, rows: readonly (readonly string[])[]): void {
  const cell = (text: string): string => (/[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)
  save(`${stem()}-${name}.csv`, `${rows.map(row => row.map(cell).join(',')).join('\n')}\n`, 'text/csv')
}

/** A spreadsheet; its writer comes when it is first wanted. */
export async function saveBook(book: readonly WorkbookSheet[], name: string): Promise<void> {
  const [{ default: writeBook }, { writerSheets }] = await Promise.all([
    import('write-excel-file/universal'),
    import('../../workbook/cells.ts'),
  ])
  const content = await writeBook(writerSheets(book) as unknown as Sheet<never>[]).toBlob()
  save(`${stem()}-${name}.xlsx`, content, 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet')
}

/** Larger than any sheet that is read [bytes]. */
const MOST = 2_000_000

/** Opens files that somebody chose or dropped: a sheet, more sheets as drafts beside it, and files of numbers that sheets name. */
export async function openFiles(chosen: Iterable<File>): Promise<void> {
  const all = [...chosen]
  const beside = all.filter(({ name, type }) => /\.csv$/i.test(name) || type === 'text/csv')
  const sheets = all.filter(each => !beside.includes(each))
  const notes: string[] = []
  // The sheet that is opened may name those that come with it.
  for (const file of beside) notes.push(...(await taken(file, file.name)))
  if (sheets.length > 0) notes.push(...(await openSheetFiles(sheets)))
  store.note.value = notes.join(' ')
}

/** Keeps a file beside the sheet, under the name by which the sheet asks for it. */
export async function keepFile(file: File, name: string): Promise<void> {
  store.note.value = (await taken(file, name)).join(' ')
}

/** Gives what there is to tell of it, where it is not taken. */
async function taken(file: File, name: string): Promise<readonly string[]> {
  // The others are looked at again once it is read: one more may have come meanwhile.
  const others = (): [string, string][] => Object.entries(store.files.value).filter(([other]) => other !== name)
  const fits = (): boolean => sizeOf(Object.fromEntries(others())) + file.size <= MOST_BESIDE
  const text = fits() ? await read(file) : ''
  if (text === null) return [unreadable(file.name)]
  if (!fits()) return [`${file.name} is not taken: a page keeps no more than 8 MB of files beside its sheet.`]
  store.files.value = { ...Object.fromEntries(others()), [name]: text }
  return []
}

/** The text of a file; null where it cannot be read: a folder that was dropped, a file that is gone by now. */
function read(file: File): Promise<string | null> {
  return file.text().catch(() => null)
}

function unreadable(name: string): string {
  return `${name} could not be read. Is it a folder, or gone?`
}

/** Those of the files kept that the sheet on show names, under the names it writes. */
export function namedFiles(): FilesBeside {
  const named = store.answer.value?.files ?? []
  return Object.fromEntries(
    named.flatMap(({ name }) => {
      const key = keyOf(store.files.value, name)
      return key === null ? [] : [[name, store.files.value[key]!] as const]
    }),
  )
}

export function dropFile(name: string): void {
  store.files.value = Object.fromEntries(Object.entries(store.files.value).filter(([other]) => other !== name))
}

/** Opens the first of the sheets; the others are kept as drafts, and that is what it gives to be told. */
async function openSheetFiles(files: readonly File[]): Promise<readonly string[]> {
  const notes: string[] = []
  const sheets: store.KeptDraft[] = []
  for (const file of files) {
    const { name, size } = file
    const text = size > MOST ? '' : await read(file)
    if (text === null) notes.push(unreadable(name))
    else if (size > MOST) notes.push(`${name} is larger than 1 MB, the largest sheet that is read.`)
    else sheets.push({ name, ...opened(text) })
  }
  const [first, ...others] = sheets
  if (!first) return notes
  if (store.draft.value.text.trim() !== '') store.keepDraft(store.fileName.value)
  store.openAnother(first)
  store.fileName.value = first.name
  for (const each of others) store.setAside(each, each.name)
  if (others.length > 0) {
    const names = listed(others.map(({ name }) => name))
    notes.push(`${first.name} is opened; ${names} ${others.length === 1 ? 'is' : 'are'} kept among the drafts.`)
  }
  return notes
}
