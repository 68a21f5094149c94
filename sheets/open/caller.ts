/** A program in plain JavaScript has no types to stop it: what it hands over by mistake, in words. */
export function kindOf(value: unknown): string {
  if (value === null || value === undefined) return String(value)
  if (value instanceof Promise) return 'a promise'
  return typeof value === 'object' ? 'an object' : `a ${typeof value}`
}

/** The text that a caller was asked for; anything else is his mistake. */
export function textGiven(text: unknown, what: string): string {
  if (typeof text === 'string') return text
  throw new TypeError(`${what}; it was given ${kindOf(text)}.`)
}

/** A caller's reader of files, held to giving texts: one that has yet to come is told as a file that cannot be read. */
export function readerOf(load: (path: string) => string): (path: string) => string {
  return path => {
    const text: unknown = load(path)
    if (typeof text === 'string') return text
    throw new Error(`load gave ${kindOf(text)} in place of its text`)
  }
}
