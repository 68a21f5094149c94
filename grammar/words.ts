/** The words that may begin a statement. They are special only there. */
export const FIRST_WORDS = [
  'sheet',
  'fact',
  'lever',
  'figure',
  'must',
  'should',
  'could',
  'aim',
  'show',
  'body',
  'table',
  'flight',
  'stage',
  'parachute',
  'variants',
  'each',
] as const

export type FirstWord = (typeof FIRST_WORDS)[number]

/** The words that join the parts of a statement, so that no name can hold them. */
export const CONNECTIVES = [
  'from',
  'to',
  'in',
  'at',
  'of',
  'over',
  'within',
  'equal',
  'if',
  'then',
  'else',
  'and',
  'or',
  'not',
] as const

export type Connective = (typeof CONNECTIVES)[number]

/** The functions that are built in. With `pi`, the one-word names that a sheet cannot declare. */
export const FUNCTIONS = [
  'sqrt',
  'exp',
  'ln',
  'log10',
  'sin',
  'cos',
  'tan',
  'asin',
  'acos',
  'atan',
  'min',
  'max',
  'abs',
] as const

const firstWords: ReadonlySet<string> = new Set(FIRST_WORDS)
const connectives: ReadonlySet<string> = new Set(CONNECTIVES)
const reserved: ReadonlySet<string> = new Set([...FUNCTIONS, 'pi'])

export function isFirstWord(word: string): word is FirstWord {
  return firstWords.has(word)
}

export function isConnective(word: string): word is Connective {
  return connectives.has(word)
}

/** Whether a name is a built-in function or `pi`, which a sheet cannot declare. */
export function isReserved(name: string): boolean {
  return reserved.has(name)
}
