import type { Range } from '../model/model.ts'
import { formsOf } from './affine.ts'
import { coneOf } from './cone.ts'
import type { Intervals } from './forward.ts'
import { narrowBy, type Request } from './narrow.ts'
import { leversAt, needsFlight, type Program, slotsOf } from './program.ts'
import { relaxedRows } from './relaxed.ts'
import type { State } from './state.ts'
import { contract, type Task, widths } from './sweep.ts'
import { tightenByPrograms, tightenByRows } from './tighten.ts'

const MOST_ROUNDS = 4
/** Another round is worth it where some lever's width fell below this share. */
const LEAST_PROGRESS = 0.95
/** Cones larger than this are left to the intervals. */
const MOST_SLOTS = 50_000

/** What can be said of a sheet before any flight. */
export interface Proof {
  /** The box of the free levers: nothing outside it meets the musts. */
  readonly low: Float64Array
  readonly high: Float64Array
  /** By target: the size of one unit of margin where its limit may be zero, else NaN. */
  readonly widths: Float64Array
  /** Where each quantity (by id) lies if the musts are met. */
  readonly quantities: () => Intervals
  /** Musts that cannot be met together, none of which could be left out of the proof; null where none are known. */
  readonly contradiction: readonly number[] | null
  /** Whether the contradiction needs the levers to stand on their steps. */
  readonly steps: boolean
}

/**
 * Narrows the free levers' ranges (in `state.free`'s order) by all musts, on their steps: by intervals and by linear reasoning in turn.
 * Everything said is proved, as in `narrow`. `musts` are places in `Model.targets`, by default all musts.
 */
export function prove(state: State, ranges?: readonly Range[], musts?: readonly number[]): Proof {
  const request: Request = {
    ...(ranges
      ? {
          low: Float64Array.from(ranges, range => range.from),
          high: Float64Array.from(ranges, range => range.to),
          settings: ranges.map(range => range.settings),
        }
      : {}),
    ...(musts ? { musts } : {}),
  }
  const narrowed = narrowBy(reason, state, request)
  const { low, high, scales: widths, empty } = narrowed
  const anywhere = empty && narrowBy(reason, state, { ...request, steps: false }).empty
  return {
    low,
    high,
    widths,
    quantities: narrowed.quantities,
    contradiction: (anywhere ?? empty)?.targets ?? null,
    steps: empty !== null && anywhere === null,
  }
}

/** Intervals and linear reasoning in turn, until neither gets on. */
function reason(task: Task, box: Intervals): boolean {
  for (let round = 0; round < MOST_ROUNDS; round++) {
    if (!contract(task, box)) return false
    const before = widths(task, box)
    if (!linearly(task, box)) return false
    if (!widths(task, box).some((width, l) => width < LEAST_PROGRESS * before[l]!)) return true
  }
  return contract(task, box)
}

/** One look at the linear consequences of the musts; narrows the levers. */
function linearly({ known, musts, scales }: Task, box: Intervals): boolean {
  const { program, overrides } = known
  const shared = sharedMusts(program, musts, box)
  if (shared === 0) return true
  const roots = musts.flatMap(t => slotsOf(program.targets[t]!))
  const cone = coneOf(program, roots)
  if (cone.length > MOST_SLOTS) return true
  const forms = formsOf(program, overrides, box, cone)
  const rows = relaxedRows(program, musts, scales, box, forms)
  const bounds = { low: new Float64Array(forms.columns.length), high: new Float64Array(forms.columns.length) }
  for (const [column, slot] of forms.columns.entries()) {
    bounds.low[column] = box.low[slot]!
    bounds.high[column] = box.high[slot]!
  }
  const levers = [...forms.columns.keys()].filter(column => program.leverSlots.includes(forms.columns[column]!))
  if (!tightenByRows(rows, bounds)) return false
  // One relation alone says no more in a linear program than by itself.
  if (shared > 1 && !tightenByPrograms(rows, bounds, levers)) return false
  for (const column of levers) {
    box.low[forms.columns[column]!] = bounds.low[column]!
    box.high[forms.columns[column]!] = bounds.high[column]!
  }
  return true
}

/** How many musts need no flight and hang on more than one lever that is still open: the others are the intervals' own. */
function sharedMusts(program: Program, musts: readonly number[], { low, high }: Intervals): number {
  return musts.filter(t => {
    const slots = slotsOf(program.targets[t]!)
    if (slots.some(slot => needsFlight(program, slot))) return false
    const open = new Set(slots.flatMap(slot => leversAt(program, slot)))
    return [...open].filter(l => low[program.leverSlots[l]!]! < high[program.leverSlots[l]!]!).length > 1
  }).length
}
