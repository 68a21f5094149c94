import type { Problem } from '../../grammar/source.ts'
import { pose, prove, type SearchResult, search } from '../../solver/index.ts'
import type { Answer, Compromise, ConflictAnswer } from '../answer.ts'
import { quantityAnswers } from './answer-quantities.ts'
import { aimAnswers, atLimits, type Judged, judge, targetAnswers } from './answer-targets.ts'
import type { Opened } from './opened.ts'
import { type Compiled, openSession, type Session, type Settings } from './session.ts'
import { numberProblems, tableWarnings } from './sound.ts'

/** The settings found (values of the free levers, in `state.free`'s order), and how sure that is. */
export interface Found {
  readonly session: Session
  readonly result: SearchResult
  /** Scales of zero limits, target by target. */
  readonly widths: readonly number[]
}

/** An answer to a sheet that cannot be solved because something in it is wrong. */
export function faulty(opened: Opened, name: string, problems: readonly Problem[]): Answer {
  return {
    sheet: opened.title || name,
    outcome: 'faulty',
    optimum: null,
    quantities: {},
    targets: [],
    aims: [],
    flights: {},
    conflict: null,
    problems,
    work: { flights: 0, milliseconds: 0 },
  }
}

/** Opens a session and says what is wrong with its numbers. */
export function soundSession(
  compiled: Compiled,
  set: Settings,
): { readonly session: Session; readonly problems: readonly Problem[]; readonly wrong: boolean } {
  const session = openSession(compiled, set)
  const own = session.problems.some(problem => problem.severity === 'error') ? [] : numberProblems(session)
  const problems = [...compiled.reading.opened.problems, ...session.problems, ...own]
  return { session, problems, wrong: problems.some(problem => problem.severity === 'error') }
}

/** Finds the settings of a sound session: narrowing first, then the search. */
export function find(session: Session): Found {
  const { state } = session
  const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
  const proof = prove(state, ranges)
  const widths = [...proof.widths]
  const within = (low: Float64Array, high: Float64Array): SearchResult => search(pose(state, ranges, low, high, widths))
  if (!proof.contradiction) {
    const result = within(proof.low, proof.high)
    if (result.x) return { session, widths, result }
  }
  // Nothing inside the proved box: what comes closest lies anywhere in the ranges.
  const closest = within(
    Float64Array.from(ranges, range => range.from),
    Float64Array.from(ranges, range => range.to),
  )
  const evidence = proof.contradiction ? 'proved' : closest.evidence
  const outcome = proof.contradiction ? 'conflict' : closest.outcome
  return { session, widths, result: { ...closest, outcome, evidence } }
}

/** The whole answer: found, flown tightly, judged. */
export function answer(
  { session, result, widths }: Found,
  name: string,
  problems: readonly Problem[],
  elapsed: () => number,
): Answer {
  const { opened } = session.compiled.reading
  const { state } = session
  const x = result.x
  if (!x)
    return {
      ...faulty(opened, name, problems),
      outcome: result.outcome,
      tried: result.tried,
      work: { flights: 0, milliseconds: elapsed() },
    }
  // The search may have flown this very point last: its cost is the unit in which work is told.
  state.forget()
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  const judged = judge(state, widths)
  const plain = state.work
  const near = atLimits(session, x, judged, widths)
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  const solved = result.outcome === 'solved'
  const quantities = quantityAnswers(session)
  const targets = targetAnswers(session, judged, near.at)
  return {
    sheet: opened.title || name,
    outcome: result.outcome,
    optimum: solved ? result.evidence : null,
    get quantities() {
      return quantities()
    },
    targets,
    aims: aimAnswers(session),
    flights: outcomes(session),
    conflict:
      result.outcome === 'conflict' ? conflict(result, judged, opened, compromiseOf(quantities, targets)) : null,
    problems: [...problems, ...tableWarnings(session)],
    ...(solved ? {} : { tried: result.tried }),
    work: { flights: flightsWorth(result.flights + near.work + plain, plain), milliseconds: elapsed() },
  }
}

function compromiseOf(quantities: () => Answer['quantities'], targets: Answer['targets']): Compromise {
  return {
    get quantities() {
      return quantities()
    },
    targets,
  }
}

/** Work in units of one plain flight at the answer. */
function flightsWorth(work: number, plain: number): number {
  return plain > 0 ? Math.round((work / plain) * 10) / 10 : 0
}

function conflict(
  { evidence }: SearchResult,
  judged: readonly Judged[],
  opened: Opened,
  compromise: Compromise,
): ConflictAnswer {
  const short = opened.targets.filter((_, t) => opened.model.targets[t]!.level === 'must' && !judged[t]!.met)
  return { targets: short.map(info => info.text), evidence, compromise }
}

/** How each flight ended. */
function outcomes({ state, compiled }: Session): Record<string, string> {
  return Object.fromEntries(
    compiled.reading.opened.model.flights.map((flight, f) => [flight.name, state.outcome(f) ?? 'not flown']),
  )
}
