import { formatQuantity } from '../../grammar/units/choose.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import type { Answer } from '../answer.ts'
import { TIE } from './marked.ts'
import { asNumber } from './number.ts'
import { unitNamed } from './target-words.ts'
import { capital } from './verdict.ts'

const TIED = { blank: TIE }

/** Each flight of an answer in a sentence or three, in the order of the sheet. */
export function flightWords(answer: Answer): readonly string[] {
  const names = Object.keys(answer.flights)
  return names.map(name => {
    const words = sentences(answer, name, names.length === 1)
    return names.length === 1 ? words : `${capital(name)}: ${words}`
  })
}

/** A figure of a flight: its SI value and its words, or null where it has no value. */
interface Figure {
  readonly si: number
  readonly unit: Unit
  readonly text: string
}

function sentences(answer: Answer, flight: string, alone: boolean): string {
  const figure = (name: string): Figure | null => {
    const found = [`${name} of ${flight}`, ...(alone ? [name] : [])].find(each =>
      Object.hasOwn(answer.quantities, each),
    )
    const quantity = found === undefined ? null : answer.quantities[found]!
    const si = asNumber(quantity?.si ?? null)
    if (!quantity || Number.isNaN(si)) return null
    const unit = unitNamed(quantity.unit)
    return { si, unit, text: formatQuantity(si, unit, 3, TIED) }
  }
  if (answer.flights[flight] === 'never leaves the pad') return 'It never leaves the pad: thrust stays below weight.'
  return [burnout(figure), apoapsis(figure, answer.flights[flight]!), losses(figure)]
    .filter(each => each !== '')
    .join(' ')
}

type Find = (name: string) => Figure | null

/** "Burnout at 61.4 s: 27.9 km up, 1,206 m/s, up to mach 4.02." */
function burnout(figure: Find): string {
  const [time, altitude, speed, mach] = ['burn time', 'burnout altitude', 'burnout speed', 'max mach'].map(figure)
  const said = [
    altitude && `${altitude.text} up`,
    speed?.text,
    mach && mach.si > 0 && `up to mach${TIE}${mach.text}`,
  ].filter(each => each)
  if (said.length === 0) return ''
  return `Burnout${time ? ` at ${time.text}` : ''}: ${said.join(', ')}.`
}

/** "Apoapsis 100.1 km at 184 s, 8.8 s of it in space." */
function apoapsis(figure: Find, outcome: string): string {
  if (outcome === 'escapes') return 'It escapes: no highest point, and no way back.'
  const [highest, time, space] = ['apoapsis', 'apoapsis time', 'spaceborne time'].map(figure)
  if (!highest) return ''
  const when = time ? ` at ${time.text}` : ''
  const above = space && space.si > 0 ? `, ${space.text} of the flight in space` : ''
  return `Apoapsis ${formatQuantity(highest.si, highest.unit, 4, TIED)}${when}${above}.`
}

/** "Gravity took 600 m/s, drag 416, back pressure 111." */
function losses(figure: Find): string {
  const named = [
    ['gravity', figure('gravity loss')],
    ['drag', figure('drag loss')],
    ['back pressure', figure('back pressure loss')],
  ] as const
  const taken = named.flatMap(([name, loss]) => (loss && loss.si > 0 ? [{ name, loss }] : []))
  if (taken.length === 0) return ''
  // The unit is said once; the others are in it too.
  const unit = taken[0]!.loss.unit
  const words = taken.map(({ name, loss }, place) => {
    const text = formatQuantity(loss.si, unit, 3, TIED)
    return place === 0 ? `${name} took ${text}` : `${name} ${text.split(TIE)[0]}`
  })
  return `${capital(words.join(', '))}.`
}
