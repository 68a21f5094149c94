import pc from 'picocolors'
import { type Characters, DRAWN, TYPED, typedText } from '../report/characters.ts'
import { type Ink, type Line, type Paint, print, respelled } from '../report/marked.ts'
import type { Outlet, Shell } from './shell.ts'

/** How one outlet is written to: its width, its characters and its colours. */
export interface Look {
  readonly width: number
  readonly characters: Characters
  readonly colour: boolean
}

/** Outside a terminal, and where one does not tell, unless COLUMNS does. */
const USUAL_WIDTH = 80
const NARROWEST = 40
/** Lines longer than this are hard to read, however wide the terminal. */
const WIDEST = 100

export function lookOf(outlet: Outlet, environment: Shell['environment']): Look {
  const told = outlet.terminal ? outlet.columns : undefined
  const width = told || Number(/^\d+$/.exec(environment.COLUMNS ?? '')?.[0]) || USUAL_WIDTH
  return {
    width: Math.max(NARROWEST, Math.min(WIDEST, width)),
    characters: readsUnicode(environment) ? DRAWN : TYPED,
    colour: outlet.terminal && !environment.NO_COLOR && environment.TERM !== 'dumb',
  }
}

/** Whether the locale's letters are UTF-8. Where no locale is set at all, as in many containers, they are taken to be. */
function readsUnicode(environment: Shell['environment']): boolean {
  const locale = environment.LC_ALL || environment.LC_CTYPE || environment.LANG
  return !locale || /utf-?8/i.test(locale)
}

/** Lines as an outlet shows them. */
export function shown(lines: readonly Line[], look: Look): string {
  const spelled = look.characters === TYPED ? respelled(lines, typedText) : lines
  return look.colour ? print(spelled, paint) : print(spelled)
}

const colours = pc.createColors(true)

const INKS: Readonly<Record<Ink, (text: string) => string>> = {
  plain: text => text,
  strong: colours.bold,
  pencil: colours.dim,
  limit: text => colours.bold(colours.yellow(text)),
  short: text => colours.bold(colours.magenta(text)),
  room: colours.cyan,
  hatch: colours.dim,
}

const paint: Paint = (text, ink) => INKS[ink](text)
