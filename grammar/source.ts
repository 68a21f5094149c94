/** A place in the text: line and column from 1, columns and length in UTF-16 units, as editors count them. */
export interface Span {
  readonly line: number
  readonly column: number
  readonly length: number
}

/** Where nothing in the text is at fault but the words of an asking (`--set`): without length, so that no line of the sheet is shown. */
export const OUTSIDE: Span = { line: 1, column: 1, length: 0 }

/** The same, told at the place in the text that the asking was about. */
export function outsideAt({ line, column }: Span): Span {
  return { line, column, length: 0 }
}

/** A remark says what is so and may be meant; it is told only where somebody asks how a sheet stands. */
export type Severity = 'error' | 'warning' | 'remark'

/** Something to say about a place in a sheet. The text is made where the problem is found; only `render` lays it out. */
export interface Problem extends Span {
  readonly severity: Severity
  /** What is wrong, a whole sentence that a teacher can read aloud. */
  readonly message: string
  /** What would mend it, a whole sentence; null only in a warning or a remark, where nothing need be done. */
  readonly mend: string | null
  /** What stands at the place itself, where another place is told beside it. */
  readonly note?: string
  /** Other places that belong to it ("the other side is a mass, here"). */
  readonly also?: readonly (Span & { readonly message: string })[]
}

/** An error at a place, with what would mend it: whoever is told that something is wrong is told what to do. */
export function error(span: Span, message: string, mend: string, also?: Problem['also']): Problem {
  return problem('error', span, message, mend, also)
}

/** A warning at a place. */
export function warning(span: Span, message: string, mend: string | null = null, also?: Problem['also']): Problem {
  return problem('warning', span, message, mend, also)
}

/** A remark at a place. */
export function remark(span: Span, message: string, mend: string | null = null, also?: Problem['also']): Problem {
  return problem('remark', span, message, mend, also)
}

function problem(severity: Severity, span: Span, message: string, mend: string | null, also: Problem['also']): Problem {
  const { line, column, length } = span
  return also
    ? { severity, line, column, length, message, mend, also }
    : { severity, line, column, length, message, mend }
}
