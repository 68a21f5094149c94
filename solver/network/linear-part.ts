import type { LinearRow, LinearSystem, LinearVariable } from '../linear/index.ts'
import type { Id } from '../model/expr.ts'
import type { Range } from '../model/model.ts'
import { type Affine, formsOf } from './affine.ts'
import { coneOf } from './cone.ts'
import { narrow } from './narrow.ts'
import { slotsOf, type TargetSlots } from './program.ts'
import type { State } from './state.ts'
import type { Slot } from './tape.ts'

/** offset + Σ by·lever, levers as places in `state.free`. */
export interface LinearForm {
  readonly at: readonly number[]
  readonly by: readonly number[]
  readonly offset: number
}

/** A target whose value is linear in the levers and whose limits are numbers (infinite where open; both the same for `equal to`). */
export interface LinearTarget extends LinearForm {
  readonly low: number
  readonly high: number
  /** One unit of its margin. */
  readonly scale: number
}

/** What of a sheet is linear in the free levers, inside their ranges and at the facts as they are set. */
export interface LinearPart {
  /** By target and by aim (roomiest: none); null where it is not linear. */
  readonly targets: readonly (LinearTarget | null)[]
  readonly aims: readonly (LinearForm | null)[]
  /** By id; null where it is not linear. */
  readonly quantities: readonly (LinearForm | null)[]
}

/** Finds the linear part. Branches, least and most of several count as linear where the ranges decide them. */
export function linearPart(state: State, ranges: readonly Range[]): LinearPart {
  const { program } = state
  const low = Float64Array.from(ranges, range => range.from)
  const high = Float64Array.from(ranges, range => range.to)
  const { slots: slotsIn, scales } = narrow(state, { musts: [], low, high, settings: ranges.map(() => null) })
  const slots = slotsIn()
  const roots = [...program.targets.flatMap(slotsOf), ...program.aims.map(aim => aim.value), ...program.slots]
  const cone = coneOf(
    program,
    roots.filter(slot => slot !== -1),
  )
  const forms = formsOf(program, state.overrides, slots, cone)
  const lane = new Map([...state.free].map((lever, l) => [program.leverSlots[lever]!, l]))
  const place = forms.columns.map(slot => lane.get(slot) ?? -1)
  const linear = (slot: Slot): LinearForm | null => (slot === -1 ? null : plain(forms.formOf(slot), place))
  return {
    targets: program.targets.map((target, t) => linearTarget(target, scales[t]!, linear)),
    aims: program.aims.map(aim => linear(aim.value)),
    quantities: Array.from(program.slots, linear),
  }
}

/** A form in numbers: the middle of what rounding leaves open. Null where a column is no lever or a number is not finite. */
function plain({ at, low, high, least, most }: Affine, place: readonly number[]): LinearForm | null {
  if (at.some(column => place[column] === -1) || !Number.isFinite(least) || !Number.isFinite(most)) return null
  return {
    at: at.map(column => place[column]!),
    by: low.map((c, k) => 0.5 * c + 0.5 * high[k]!),
    offset: 0.5 * least + 0.5 * most,
  }
}

function linearTarget(
  { kind, value, low, high, tolerance }: TargetSlots,
  told: number,
  linear: (slot: Slot) => LinearForm | null,
): LinearTarget | null {
  const form = linear(value)
  const [from, to, half] = [low, high, tolerance].map(slot => (slot === -1 ? null : linear(slot)))
  if (!form || [from, to, half].some(end => end && end.at.length > 0)) return null
  const size = (limit: number) => (limit === 0 ? told : Math.abs(limit))
  const [a, b] = [from?.offset ?? Number.NEGATIVE_INFINITY, to?.offset ?? Number.POSITIVE_INFINITY]
  if (kind === 'within') return { ...form, low: a, high: b, scale: (b - a) / 2 }
  if (kind === 'equal within')
    return half ? { ...form, low: a - half.offset, high: a + half.offset, scale: half.offset } : null
  return { ...form, low: a, high: b, scale: size(kind === 'at most' ? b : a) }
}

/**
 * The linear relations of a sheet as a system to be dragged: the free levers, then each linear figure or aim that hangs on them, with its
 * relation as an equation, and the linear musts. `ids` are the quantities behind the variables.
 */
export function draggable(
  state: State,
  ranges: readonly Range[],
  part: LinearPart,
): { system: LinearSystem; ids: readonly Id[] } {
  const { program } = state
  const levers = [...state.free].map(lever => program.levers[lever]!)
  const figures = part.quantities.flatMap((form, id) =>
    form && form.at.length > 0 && !levers.includes(id) ? [id] : [],
  )
  const free = ranges.map(
    ({ from, to }): LinearVariable => ({ low: from, high: to, nominal: Math.max(Math.abs(from), Math.abs(to)) || 1 }),
  )
  const variables = [...free, ...figures.map(id => reachable(part.quantities[id]!, ranges))]
  const relations = figures.map((id, f): LinearRow => {
    const { at, by, offset } = part.quantities[id]!
    return { at: [...at, levers.length + f], by: [...by, -1], low: -offset, high: -offset }
  })
  const musts = part.targets.flatMap((target, t): LinearRow[] =>
    target && program.targets[t]!.level === 'must' ? [rowOf(target)] : [],
  )
  return { system: { variables, rows: [...relations, ...musts] }, ids: [...levers, ...figures] }
}

/** A target's limits as a row over the levers. */
export function rowOf({ at, by, offset, low, high }: LinearTarget): LinearRow {
  return { at, by, low: low - offset, high: high - offset }
}

/** A figure as a variable: as far as the ranges let it go, and a thousandth of that more, so that no bound of its own stops it. */
function reachable({ at, by, offset }: LinearForm, ranges: readonly Range[]): LinearVariable {
  let [low, high] = [offset, offset]
  at.forEach((l, k) => {
    const ends = [by[k]! * ranges[l]!.from, by[k]! * ranges[l]!.to]
    low += Math.min(...ends)
    high += Math.max(...ends)
  })
  const room = 1e-3 * (high - low) + Number.MIN_VALUE
  return { low: low - room, high: high + room, nominal: Math.max(Math.abs(low), Math.abs(high)) || 1 }
}
