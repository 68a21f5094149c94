import { Assembly, type PlacedLine } from './blocks.ts'
import { isLarger, leastIndented, sourceLines, splitLines } from './lines.ts'
import { error } from './source.ts'
import type { Tree } from './tree.ts'

/** A larger sheet [bytes in UTF-8] is refused. */
export const SHEET_BYTES = 1_000_000

/**
 * Reads a sheet. Never throws: each wrong line is left out and told of in `problems`, in the order of lines, every one of
 * them. Whether names exist, units exist and dimensions agree is not looked at here.
 */
export function parse(text: string): Tree {
  return readSheet(text, () => {})
}

export function tooLarge(text: string): boolean {
  return isLarger(text, SHEET_BYTES)
}

/** As `parse`, and shows each line that is not blank as it was read. */
export function readSheet(text: string, see: (line: PlacedLine) => void): Tree {
  if (tooLarge(text)) {
    const place = { line: 1, column: 1, length: 1 }
    const problem = error(
      place,
      'This sheet is larger than 1 MB, the largest that is read.',
      'Put long tables into a file and name it: from "file.csv".',
    )
    return { statements: [], problems: [problem], lost: [] }
  }
  const lines = splitLines(text)
  const assembly = new Assembly(leastIndented(sourceLines(lines)))
  for (const line of sourceLines(lines)) see(assembly.place(line))
  return assembly.finish()
}
