import { assemble, type Blocks } from './blocks.ts'
import { isLarger, sourceLines } from './lines.ts'
import { readLine } from './read.ts'
import { error } from './source.ts'
import type { Tree } from './tree.ts'

/** A larger sheet [bytes in UTF-8] is refused. */
export const SHEET_BYTES = 1_000_000

/**
 * Reads a sheet. Never throws: each wrong line is left out and told of in `problems`, in the order of lines, every one of
 * them. Whether names exist, units exist and dimensions agree is not looked at here.
 */
export function parse(text: string): Tree {
  const { statements, problems, lost } = readSheet(text)
  return { statements, problems, lost }
}

/** A sheet's tree together with its lines, each as it was read. */
export function readSheet(text: string): Blocks {
  if (isLarger(text, SHEET_BYTES)) {
    const place = { line: 1, column: 1, length: 1 }
    const problem = error(
      place,
      'This sheet is larger than 1 MB, the largest that is read.',
      'Put long tables into a file and name it: from "file.csv".',
    )
    return { statements: [], problems: [problem], lost: [], lines: [] }
  }
  return assemble(sourceLines(text).map(readLine))
}
