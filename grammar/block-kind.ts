/** What a line's indented lines belong to: a block, nothing (`none`), or a line too wrong to know (`unknown`). */
export type BlockKind = 'sheet' | 'flight' | 'stage' | 'parachute' | 'body' | 'table' | 'variants' | 'none' | 'unknown'

/** The kinds of line that stand in a block. */
export const HOLDS: Readonly<Record<BlockKind, readonly string[]>> = {
  sheet: ['sheet', 'fact', 'lever', 'figure', 'target', 'aim', 'show', 'table', 'body', 'flight', 'variants'],
  flight: ['slot', 'stage', 'parachute'],
  stage: ['slot'],
  parachute: ['slot'],
  body: ['slot'],
  table: ['row'],
  variants: ['over', 'steps'],
  none: [],
  unknown: [],
}

/** What kind of block a first word opens. */
export function blockNamed(word: string): BlockKind {
  switch (word) {
    case 'flight':
    case 'stage':
    case 'parachute':
    case 'body':
    case 'table':
    case 'variants':
      return word
    default:
      return 'none'
  }
}
