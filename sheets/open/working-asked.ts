import { error, OUTSIDE, type Problem } from '../../grammar/source.ts'
import { figureNamed } from './figures.ts'
import type { Opened } from './opened.ts'
import { didYouMean } from './scope.ts'

/** What a working was asked of: a quantity, or (where `id` is null) targets. */
export interface Asked {
  readonly name: string
  readonly id: number | null
  readonly targets: readonly number[]
  /** Whether it hangs on a lever, so that settings must be known. */
  readonly hangs: boolean
}

/** Finds what is meant by the words of an asking: a target's text, a name, or what targets limit. */
export function resolve(words: string, opened: Opened): Asked | Problem {
  const name = words.normalize('NFC').trim().replace(/\s+/g, ' ')
  const bare = name.replace(/^(must|should|could) /, '')
  const targets = (meant: (t: number) => boolean): readonly number[] => [...opened.targets.keys()].filter(meant)
  const asked = targets(t => opened.targets[t]!.text === bare)
  if (asked.length > 0) return { name: bare, id: null, targets: asked, hangs: true }
  const id = opened.ids.get(name)
  if (id !== undefined && !opened.info[id]!.hidden) return { name, id, targets: [], hangs: opened.info[id]!.hangs }
  const limited = targets(t => opened.targets[t]!.written.subject === name)
  return limited.length > 0 ? { name, id: null, targets: limited, hangs: true } : unknown(name, opened)
}

function unknown(name: string, opened: Opened): Problem {
  const flights = opened.model.flights.map(flight => flight.name)
  if (flights.includes(name))
    return error(OUTSIDE, `"${name}" is a flight; ask for one of its figures.`, `For example "apoapsis of ${name}".`)
  const figure = figureNamed(name)
  if (figure && flights.length > 1)
    return error(
      OUTSIDE,
      'This sheet has several flights; say of which one.',
      `Ask for ${flights.map(flight => `"${name} of ${flight}"`).join(' or ')}.`,
    )
  if (figure && flights.length === 0)
    return error(
      OUTSIDE,
      `"${name}" is a figure of a flight, and this sheet has no flight.`,
      'Add a line such as "flight hop from Earth".',
    )
  const shown = opened.shown.flatMap(({ names }) => names)
  const mend = didYouMean(name, [...shown, ...opened.targets.map(({ text }) => text)])
  return error(
    OUTSIDE,
    `Nothing in the sheet is called "${name}".`,
    mend ?? 'Ask for a quantity by its name in the sheet, or for a target by its words.',
  )
}
