/** Files that the tables and variants of a sheet name, by name. */
export type FilesBeside = Readonly<Record<string, string>>

/** A page carries and keeps no more than this of files beside its sheet, all together [characters]. */
export const MOST_BESIDE = 8_000_000

/** How long the files are together [characters]. */
export function sizeOf(files: FilesBeside): number {
  return Object.values(files).reduce((sum, text) => sum + text.length, 0)
}

/** The name under which a file that a sheet names is kept, its own or, since a page knows no folders, its last part; null where it is not. */
export function keyOf(files: FilesBeside, path: string): string | null {
  return [path, lastPart(path)].find(name => Object.hasOwn(files, name)) ?? null
}

/** The name of a file without its folders. */
export function lastPart(path: string): string {
  return path.split(/[/\\]/).at(-1)!
}

/** Files from what was kept or sent, by whomever: only texts by name are taken. */
export function filesFrom(kept: unknown): FilesBeside {
  if (typeof kept !== 'object' || kept === null) return {}
  return Object.fromEntries(
    Object.entries(kept).filter((entry): entry is [string, string] => typeof entry[1] === 'string'),
  )
}

/** Files that came with a sheet beside those that are here. */
export interface TakenIn {
  readonly files: FilesBeside
  /** What was here under a name that came with other content, and under which name it is kept: null where there is no room for both. */
  readonly moved: readonly (readonly [name: string, to: string | null])[]
}

/** Puts files that came with a sheet beside those that are here; none of these is lost while there is room. */
export function takenIn(here: FilesBeside, sent: FilesBeside): TakenIn {
  let files: FilesBeside = { ...here, ...sent }
  const moved: [string, string | null][] = []
  for (const [name, text] of Object.entries(here)) {
    if (files[name] === text) continue
    const to = sizeOf(files) + text.length <= MOST_BESIDE ? freeName(name, files) : null
    if (to !== null) files = { ...files, [to]: text }
    moved.push([name, to])
  }
  return { files, moved }
}

/** "drag-before.csv", or with a number where that is taken. */
function freeName(name: string, files: FilesBeside): string {
  const dot = name.lastIndexOf('.')
  const [stem, ending] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, '']
  for (let k = 1; ; k++) {
    const free = `${stem}-before${k > 1 ? `-${k}` : ''}${ending}`
    if (!Object.hasOwn(files, free)) return free
  }
}
