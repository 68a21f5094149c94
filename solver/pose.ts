import { EARTH } from './flight/air.ts'
import { takeNumbers } from './flight/slab.ts'
import { bodyNumbersOf } from './flight-layout.ts'
import type { BodyModel, Range } from './model/model.ts'
import {
  lateIsSound,
  leversAt,
  needsFlight,
  outputAt,
  outputSlot,
  type Program,
  type State,
  slotsOf,
  type TargetSlots,
  unevenSlots,
} from './network/index.ts'
import type { Row, Sample, SearchAim, SearchProblem, SearchTarget } from './search/problem.ts'

/** A row's source on the tape, or a combination of slots. Rows are compared by `key`, so that targets on one figure share them. */
interface Source {
  readonly key: string
  readonly row: Row
  /** Writes the row's value and, where `lanes` > 0, its slopes. */
  readonly read: (state: State, lanes: number, slopes: Float64Array, at: number) => number
}

/** The limits of a target at the present facts, with the size of one unit of its margin. Limits that hang on levers are judged as shares, with `shares` true. */
export interface Limits {
  readonly low: number
  readonly high: number
  readonly scale: number
  readonly shares: boolean
}

/**
 * Poses the search of an open sheet: free levers with their ranges, rows for targets and aims, and the two ways to get them.
 * `ranges` belong to `state.free`, in its order; `widths[t]` is the width of target t's narrowed interval, NaN where unknown,
 * the scale of a zero limit.
 */
export function pose(
  state: State,
  ranges: readonly Range[],
  low: Float64Array,
  high: Float64Array,
  widths: readonly number[],
): SearchProblem {
  state.refresh()
  const { program } = state
  const sources: Source[] = []
  const uneven = unevenSlots(state, ranges)
  const reach = lateIsSound(state, ranges) ? program.soundReach : program.reach
  const place = (source: Source): number => {
    const known = sources.findIndex(other => other.key === source.key)
    return known >= 0 ? known : sources.push(source) - 1
  }
  const targets = program.targets.map((slots, t): SearchTarget => {
    const limits = searchLimits(state, slots, widths[t] ?? Number.NaN)
    const rows = rowsOf(state, slots, limits, uneven).map(place)
    const toRow = rowLimit(state, slots, limits)
    return {
      level: slots.level,
      kind: slots.kind,
      rows,
      low: limits.low,
      high: limits.high,
      rowLow: toRow(limits.low),
      rowHigh: toRow(limits.high),
      scale: limits.scale,
      reach: reachedBy(state, slotsOf(slots), reach),
    }
  })
  const aims = program.aims.map(
    (aim): SearchAim =>
      aim.sense === 'roomiest'
        ? { sense: 'roomiest' }
        : { sense: aim.sense, row: place(aimSource(state, aim.value, uneven)) },
  )
  if (aims.at(-1)?.sense !== 'roomiest') aims.push({ sense: 'roomiest' })
  return {
    levers: ranges,
    low,
    high,
    rows: sources.map(source => source.row),
    targets,
    aims,
    idle: idleLevers(state, reach),
    algebra: (x, slopes = true) => {
      state.evaluateAlgebra(x, slopes)
      return sample(state, sources, slopes, true)
    },
    fly: (x, accuracy, slopes) => {
      state.evaluate(x, { accuracy, slopes, scope: 'wanted' })
      return sample(state, sources, slopes, false)
    },
  }
}

/** Which free levers no target and no aim hangs on. */
function idleLevers(state: State, reach: Uint32Array): readonly boolean[] {
  const { targets, aims } = state.program
  return reachedBy(state, [...targets.flatMap(slotsOf), ...aims.map(({ value }) => value)], reach).map(by => !by)
}

/** Which free levers reach any of some slots. */
function reachedBy({ program, free }: State, slots: readonly number[], reach: Uint32Array): readonly boolean[] {
  const { words, tape } = program
  const reaching = new Uint32Array(words)
  for (const slot of slots)
    if (slot !== -1) for (let w = 0; w < words; w++) reaching[w]! |= reach[tape.row[slot]! * words + w]!
  return Array.from(free, l => ((reaching[l >> 5]! >>> (l & 31)) & 1) === 1)
}

function sample(state: State, sources: readonly Source[], withSlopes: boolean, exactOnly: boolean): Sample {
  const lanes = withSlopes ? state.free.length : 0
  const rows = takeNumbers(sources.length, Number.NaN)
  const slopes = takeNumbers(exactOnly && !withSlopes ? 0 : sources.length * state.free.length, 0)
  for (let r = 0; r < sources.length; r++) {
    const source = sources[r]!
    if (source.row.exact || !exactOnly) rows[r] = source.read(state, lanes, slopes, r * lanes)
  }
  return { rows, slopes, lifts: state.lifts(), work: state.work }
}

/** The limits of a target as numbers at the point last worked out (or, where they hang on facts only, at any). */
export function limitsAt(state: State, slots: TargetSlots, width: number): Limits {
  const at = (slot: number): number => (slot === -1 ? Number.NaN : state.values[slot]!)
  const zero = Number.isFinite(width) && width > 0 ? width : 1
  const size = (limit: number): number => (limit === 0 ? zero : Math.abs(limit))
  const [low, high, tolerance] = [at(slots.low), at(slots.high), at(slots.tolerance)]
  switch (slots.kind) {
    case 'at least':
      return { low, high: Number.POSITIVE_INFINITY, scale: size(low), shares: false }
    case 'at most':
      return { low: Number.NEGATIVE_INFINITY, high, scale: size(high), shares: false }
    case 'within':
      return { low, high, scale: (high - low) / 2, shares: false }
    case 'equal to':
      return { low, high: low, scale: size(low), shares: false }
    case 'equal within':
      return { low: low - tolerance, high: low + tolerance, scale: tolerance, shares: false }
  }
}

function searchLimits(state: State, slots: TargetSlots, width: number): Limits {
  const moving = [slots.low, slots.high, slots.tolerance].some(slot => slot >= state.program.algebra)
  return moving ? sharesOf(slots) : limitsAt(state, slots, width)
}

/** Limits that hang on levers: the row is the distance to the limit in units of the margin, so that the limits themselves stand still. */
function sharesOf({ kind }: TargetSlots): Limits {
  const ends = {
    'at least': [0, Number.POSITIVE_INFINITY],
    'at most': [Number.NEGATIVE_INFINITY, 0],
    within: [-1, 1],
    'equal to': [0, 0],
    'equal within': [-1, 1],
  }[kind] as [number, number]
  return { low: ends[0], high: ends[1], scale: 1, shares: true }
}

function rowsOf(state: State, slots: TargetSlots, limits: Limits, uneven: Uint8Array): Source[] {
  return limits.shares ? [shareSource(state, slots, uneven)] : figureSources(state, slots.value, uneven)
}

/** The smooth pieces of a flight's figure: one a phase for peaks, the energy for the apoapsis; else the slot itself. */
function figureSources(state: State, slot: number, uneven: Uint8Array): Source[] {
  const output = outputAt(state.program, slot)
  if (output?.name === 'peak g' || output?.name === 'max q')
    return phasesOf(state.program, output).map(phase =>
      phaseSource(slot, outputSlot(state.program, output.flight, phase)),
    )
  return [aimSource(state, slot, uneven)]
}

/** The outputs that hold a peak phase by phase: of each stage's burn and the coast after it where there are several. The only stage's are the flight's own. */
function phasesOf(program: Program, { flight, name }: { flight: number; name: string }): readonly string[] {
  const names = [`${name} burning`, `${name} coasting`]
  const all = [...program.flights[program.flightPlace[flight]!]!.outputNames.keys()]
  const ofStages = all.filter(output => names.some(phase => output.startsWith(`${phase} of `)))
  return ofStages.length > names.length ? ofStages : names
}

function aimSource(state: State, slot: number, uneven: Uint8Array): Source {
  const output = outputAt(state.program, slot)
  const energy = output?.name === 'apoapsis' && radiusOf(state, output.flight) !== null
  return energy ? energySource(state, output.flight) : slotSource(state, slot, uneven)
}

function slotSource({ program, free }: State, slot: number, uneven: Uint8Array): Source {
  const exact = !needsFlight(program, slot)
  const by = exact ? leversAt(program, slot) : []
  const row: Row = exact
    ? { exact, figure: null, reach: Array.from(free, l => by.includes(l)), uneven: uneven[slot] === 1 }
    : { exact, figure: null }
  return {
    key: `slot ${slot}`,
    row,
    read: (state, lanes, slopes, at) => {
      if (lanes > 0) state.copySlopes(slot, slopes, at)
      return state.values[slot]!
    },
  }
}

/** A phase that a flight does not have leaves its peak to the other phase: nothing is felt in it. */
function phaseSource(whole: number, slot: number): Source {
  return {
    key: `phase ${slot}`,
    row: { exact: false, figure: null },
    read: (state, lanes, slopes, at) => {
      const value = state.values[slot]!
      const absent = Number.isNaN(value) && !Number.isNaN(state.values[whole]!)
      if (lanes > 0 && !absent) state.copySlopes(slot, slopes, at)
      return absent ? 0 : value
    },
  }
}

/** Place of the launch altitude among a flight's inputs. */
const LAUNCH_ALTITUDE = 0

function energySource(state: State, flight: number): Source {
  const slot = outputSlot(state.program, flight, 'apoapsis energy')
  const radius = radiusOf(state, flight)!
  const { flights, flightPlace, algebra } = state.program
  const ground = flights[flightPlace[flight]!]!.inputs[LAUNCH_ALTITUDE]!
  return {
    key: `energy ${slot}`,
    row: {
      exact: false,
      figure: s => (s >= radius ? Number.POSITIVE_INFINITY : (radius * s) / (radius - s)),
      ...(ground < algebra ? { least: state.values[ground]! } : {}),
    },
    read: (from, lanes, slopes, at) => {
      if (lanes > 0) from.copySlopes(slot, slopes, at)
      return from.values[slot]!
    },
  }
}

const NO_NUMBERS = new Float64Array(0)

/** The radius of a flight's body, or null where a lever moves it: then the apoapsis is taken as it is. */
function radiusOf(state: State, flight: number): number | null {
  const { model, flights, flightPlace } = state.program
  const body: BodyModel = model.bodies[model.flights[flight]!.body]!
  if (body.kind === 'earth') return EARTH.radius
  if (body.kind !== 'own') return bodyNumbersOf(body, NO_NUMBERS).radius
  const { node, inputs } = flights[flightPlace[flight]!]!
  const slot = inputs[node.rigid[0]!]!
  return slot < state.program.algebra ? state.values[slot]! : null
}

function rowLimit(state: State, slots: TargetSlots, limits: Limits): (limit: number) => number {
  const output = limits.shares ? null : outputAt(state.program, slots.value)
  const radius = output?.name === 'apoapsis' ? radiusOf(state, output.flight) : null
  if (radius === null) return limit => limit
  return limit => (Number.isFinite(limit) ? (radius * limit) / (radius + limit) : limit)
}

/** The distance from a moving limit in units of the margin: (x − L)/|L|, or the place in the band, −1 to 1. */
function shareSource({ program }: State, slots: TargetSlots, uneven: Uint8Array): Source {
  const { kind, value, low, high, tolerance } = slots
  const used = slotsOf(slots)
  const exact = used.every(slot => !needsFlight(program, slot))
  const end = kind === 'at most' ? high : low
  const parts = (state: State): { middle: number; half: number } => {
    const at = (slot: number): number => state.values[slot]!
    if (kind === 'within')
      return { middle: (at(low) + at(high)) / 2, half: at(high) > at(low) ? (at(high) - at(low)) / 2 : Number.NaN }
    if (kind === 'equal within') return { middle: at(low), half: at(tolerance) > 0 ? at(tolerance) : Number.NaN }
    return { middle: at(end), half: at(end) === 0 ? 1 : Math.abs(at(end)) }
  }
  const slopeParts = (state: State, lane: number): { middle: number; half: number } => {
    const by = (slot: number): number => state.slopesAt(slot)[lane]!
    if (kind === 'within') return { middle: (by(low) + by(high)) / 2, half: (by(high) - by(low)) / 2 }
    if (kind === 'equal within') return { middle: by(low), half: by(tolerance) }
    const limit = state.values[end]!
    return { middle: by(end), half: Math.sign(limit) * by(end) }
  }
  return {
    key: `share ${kind} ${value} ${low} ${high} ${tolerance}`,
    row: exact ? { exact, figure: null, uneven: used.some(slot => uneven[slot] === 1) } : { exact, figure: null },
    read: (state, lanes, slopes, at) => {
      const { middle, half } = parts(state)
      const row = (state.values[value]! - middle) / half
      for (let lane = 0; lane < lanes; lane++) {
        const by = slopeParts(state, lane)
        slopes[at + lane] = (state.slopesAt(value)[lane]! - by.middle - row * by.half) / half
      }
      return row
    },
  }
}
