import { tidy } from '../grammar/tidy.ts'

import type { Answer, CheckAnswer, FlightAnswer } from './answer.ts'
import { readerOf, textGiven } from './open/caller.ts'
import { checkAnswer } from './open/check.ts'
import { type Compiled, compileSheet } from './open/compiled.ts'
import { type Found, find } from './open/find.ts'
import { flightAnswer } from './open/fly.ts'
import { frontAnswer } from './open/front.ts'
import { mapAnswer } from './open/map.ts'
import { open } from './open/open.ts'
import { outlineOf } from './open/outline.ts'
import type { Session } from './open/session.ts'
import type { Settings } from './open/setting.ts'
import { answer, faulty, soundSession } from './open/solve.ts'
import { valuesAt } from './open/values.ts'
import { workingAnswer } from './open/working.ts'
import type { OpenOptions, Sheet } from './sheet.ts'
import { variantsOf } from './variants/variants.ts'

/**
 * Opens a sheet: reads, checks and compiles its text once. Never throws on a bad sheet: see `problems`.
 * Everything asked of it afterwards only works out numbers. What is no text at all is a TypeError.
 */
export function openSheet(text: string, options: OpenOptions = {}): Sheet {
  const name = options.name ?? 'sheet'
  const load = options.load ? readerOf(options.load) : null
  const reading = open(textGiven(text, 'openSheet takes the text of a sheet'), load)
  const { opened } = reading
  const bad = opened.problems.some(problem => problem.severity === 'error')
  let once: Compiled | null = null
  const compiled = (): Compiled => {
    once ??= compileSheet(reading)
    return once
  }

  // What is sound of a wrong sheet is looked at all the same, so that its wrong numbers are told at once with the rest.
  const problems = [...soundSession(compiled(), {}).problems].sort((a, b) => a.line - b.line || a.column - b.column)

  /** What was found last, with what set, and whether its watch let it end: a map of it is not solved once more. */
  let latest: { readonly set: string; readonly found: Found; readonly whole: boolean } | null = null
  const solve = (set: Settings, watch?: (flights: number) => boolean): Answer => {
    const elapsed = stopwatch()
    if (bad) return faulty(opened, name, problems)
    const { session, problems: said, wrong } = soundSession(compiled(), set)
    if (wrong) return faulty(opened, name, said)
    let whole = true
    const watched = (flights: number): boolean => {
      whole &&= watch!(flights)
      return whole
    }
    const found = find(session, undefined, watch && watched)
    latest = { set: JSON.stringify(set), found, whole }
    return answer(found, name, said, elapsed)
  }
  // A search that its watch ended is not what a map would find, a proved conflict's closest place included: it is taken only where that is asked for.
  const foundFor = (session: Session, set: Settings, stopped: boolean): Found =>
    latest?.set === JSON.stringify(set) && (latest.whole || stopped) ? { ...latest.found, session } : find(session)

  return {
    name,
    title: opened.title,
    text,
    problems,
    check: (): CheckAnswer => {
      if (bad) return checkAnswer(opened, problems, null)
      const { session, problems: said, wrong } = soundSession(compiled(), {})
      return checkAnswer(opened, said, wrong ? null : session)
    },
    solve: ({ set = {}, watch } = {}) => solve(set, watch),
    at: (levers = {}) => valuesAt(bad ? null : compiled(), levers),
    fly: ({ set = {}, flight } = {}): FlightAnswer =>
      flightAnswer(bad ? null : compiled(), opened, set, flight ?? null),
    working: (asked, how = {}) =>
      workingAnswer(
        { compiled: bad ? null : compiled(), opened, name, statements: reading.statements },
        textGiven(asked, 'working takes the name of a quantity'),
        how,
      ),
    front: (request = {}) => frontAnswer(bad ? null : compiled(), opened, name, request, stopwatch()),
    map: (request = {}) =>
      mapAnswer(bad ? null : compiled(), opened, name, request, { find: foundFor, elapsed: stopwatch() }),
    variantFiles: opened.variants.map(block => block.file),
    variants: (request = {}) => variantsOf({ reading, compiled: bad ? null : compiled(), name, load }, request),
    outline: () => outlineOf(text, reading, bad ? null : soundSession(compiled(), {}).session),
    tidy: () => tidy(text).text,
  }
}

/** Milliseconds since now, to the microsecond: the one place that looks at a clock. */
function stopwatch(): () => number {
  const before = performance.now()
  return () => Math.round((performance.now() - before) * 1000) / 1000
}

export type { Problem } from '../grammar/source.ts'
export { type MapMemory, newMapMemory } from '../solver/index.ts'
export type * from './answer.ts'
export type * from './map-answer.ts'
export type * from './outline.ts'
export type { OpenOptions, Settings, Sheet } from './sheet.ts'
export type * from './variants/answer.ts'
export type * from './working.ts'
