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
