import type { Problem } from '../../grammar/source.ts'
import type { Answer, Compromise } from '../answer.ts'
import { quantityAnswers } from './answer-quantities.ts'
import { aimAnswers, atLimits, confirmed, judge, targetAnswers } from './answer-targets.ts'
import type { Compiled } from './compiled.ts'
import { compromiseAt } from './compromise.ts'
import { conflictAnswer } from './conflict.ts'
import { type Found, middleOf } from './find.ts'
import { startMeter } from './meter.ts'
import type { Opened } from './opened.ts'
import { priceAnswers } from './price.ts'
import { movesAt } from './sensitivity.ts'
import { openSession, type Session } from './session.ts'
import type { Settings } from './setting.ts'
import { numberProblems, tableWarnings } from './sound.ts'

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
    decides: null,
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
  const problems = [...compiled.reading.opened.problems, ...session.problems, ...numberProblems(session)]
  return { session, problems, wrong: problems.some(problem => problem.severity === 'error') }
}

/** The whole answer: found, flown tightly, judged. */
export function answer(found: Found, name: string, problems: readonly Problem[], elapsed: () => number): Answer {
  const { session, widths } = found
  const { opened } = session.compiled.reading
  const { state } = session
  // Where nothing asked for has a value anywhere, any settings show why.
  const all = found.result.x ?? middleOf([...state.free].map(lever => session.ranges[lever]!.range))
  const { x, work } = found.result.outcome === 'solved' ? { x: all, work: 0 } : compromiseAt(session, all, widths)
  // The search may have flown this very point last: its cost is the unit in which work is told.
  state.forget()
  // Only as far as the targets need at first: the way down and all that is merely told are flown once, last.
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
  const judged = judge(state, widths)
  const result = confirmed(found.result, judged, state.program.targets)
  const plain = state.work
  const near = atLimits(session, x, judged, widths)
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  const solved = result.outcome === 'solved'
  const quantities = quantityAnswers(session)
  const meter = startMeter(elapsed)
  const own = result.flights + work + near.work + plain
  const moves = movesAt(session, x, judged, meter)
  const price = solved ? priceAnswers(found, x, judged, meter) : () => null
  const targets = targetAnswers(session, judged, near.at, { price, sensitivities: moves.of })
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
      result.outcome === 'conflict' ? conflictAnswer(found, compromiseOf(quantities, targets), plain, meter) : null,
    get decides() {
      return moves.deciding()
    },
    problems: [...problems, ...tableWarnings(session)],
    ...(solved ? {} : { tried: result.tried }),
    work: {
      flights: flightsWorth(own, plain),
      milliseconds: elapsed(),
      get explaining() {
        return { flights: flightsWorth(meter.work(), plain), milliseconds: meter.milliseconds() }
      },
    },
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

/** How each flight ended. */
function outcomes({ state, compiled }: Session): Record<string, string> {
  return Object.fromEntries(
    compiled.reading.opened.model.flights.map((flight, f) => [flight.name, state.outcome(f) ?? 'not flown']),
  )
}
