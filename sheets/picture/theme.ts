/** The inks of a picture on one ground. */
export interface Theme {
  readonly name: 'paper' | 'slate'
  readonly ground: string
  readonly field: string
  readonly ink: string
  readonly pencil: string
  /** Room: where targets are met. */
  readonly room: string
  /** At its limit. */
  readonly limit: string
  /** Short, or in conflict. */
  readonly short: string
  readonly hair: string
  readonly wash: string
}

export const PAPER: Theme = {
  name: 'paper',
  ground: '#F6F6F1',
  field: '#FFFFFF',
  ink: '#1A212B',
  pencil: '#565E68',
  room: '#0A6A66',
  limit: '#8B5000',
  short: '#98195A',
  hair: '#CFD2CF',
  wash: '#DCEBE6',
}

export const SLATE: Theme = {
  name: 'slate',
  ground: '#1E2529',
  field: '#171D20',
  ink: '#EEECE4',
  pencil: '#A9B2B6',
  room: '#7FC9BE',
  limit: '#E6B35A',
  short: '#F391B9',
  hair: '#3B454B',
  wash: '#24393A',
}

export const THEMES = { paper: PAPER, slate: SLATE } as const

/** The hand for words (names, sentences) and for lettering (numbers, units, limits). */
export const WORDS =
  'Charter, "Bitstream Charter", "Iowan Old Style", "Sitka Text", Cambria, "Liberation Serif", "Noto Serif", "DejaVu Serif", serif'
export const LETTERING =
  '"Bahnschrift SemiCondensed", "Avenir Next Condensed", "Roboto Condensed", "Liberation Sans Narrow", "Arial Narrow", "DejaVu Sans Condensed", "DejaVu Sans", sans-serif'
