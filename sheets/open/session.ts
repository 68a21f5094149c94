import { parse } from '../../grammar/parse.ts'
import { error, OUTSIDE, outsideAt, type Problem, warning } from '../../grammar/source.ts'
import { type Dimension, describe, same } from '../../grammar/units/dimension.ts'
import {
  compile,
  type Expr,
  type Probe,
  type Program,
  partsOf,
  probesOf,
  type State,
  start,
} from '../../solver/index.ts'
import { type BodyNumber, bodyNumbers } from './body-numbers.ts'
import { unitMend } from './disagree.ts'
import { readsLocal } from './drag-breaks.ts'
import { elaborate } from './expression.ts'
import type { Reading } from './open.ts'
import type { Info } from './opened.ts'
import { type LeverRange, leverRange, nearestSetting } from './range.ts'
import { didYouMean } from './scope.ts'

/** Values put in the place of facts, and levers pinned: a text as the sheet would write it, or an SI number. */
export type Settings = Readonly<Record<string, string | number>>

/** A sheet compiled: done once, at the first question. */
export interface Compiled {
  readonly reading: Reading
  readonly program: Program
  /** The slot of each quantity that is shown, in their order. */
  readonly shownSlots: Int32Array
  /** Facts and figures that no lever moves: they must have values. */
  readonly givenIds: Int32Array
  /** Slots of each lever's from, to and step (−1: none), in the order of `program.levers`. */
  readonly rangeSlots: readonly (readonly [number, number, number])[]
  /** Slots of the arguments of the tables read, −1 where it is a drag curve's mach. */
  readonly tableSlots: readonly number[]
  /** Slots of the counts of motors that are worked out. */
  readonly countSlots: readonly number[]
  /** Slots of facts' errors, by fact. */
  readonly errorSlots: ReadonlyMap<number, number>
  /** The sheet with its facts free, made when it is first asked how targets move with them. */
  readonly probes: () => readonly Probe[]
  /** The numbers of the sheet's own bodies, and the slot of each. */
  readonly bodyNumbers: readonly BodyNumber[]
  readonly bodySlots: readonly number[]
  /** Slots of each flight's space boundary, −1 where its body says none. */
  readonly spaceSlots: readonly number[]
  /** The range last made for each lever, by its ends and step: most questions leave them as they are. */
  readonly ranges: Map<number, { readonly ends: readonly number[]; readonly range: LeverRange }>
}

/** A compiled sheet with some facts and levers set, ready to be solved or evaluated. */
export interface Session {
  readonly compiled: Compiled
  readonly state: State
  /** In the order of `program.levers`; null where the range is faulty. */
  readonly ranges: readonly (LeverRange | null)[]
  readonly problems: readonly Problem[]
}

/** Compiles a sheet without errors. */
export function compileSheet(reading: Reading): Compiled {
  const { model, info, tables, counts } = reading.opened
  const extras: Expr[] = []
  const add = (expr: Expr | null): number => (expr ? extras.push(expr) - 1 : -1)
  const ranges = new Map<number, readonly [number, number, number]>()
  info.forEach(({ lever }, id) => {
    if (lever) ranges.set(id, [add(lever.from), add(lever.to), add(lever.step)])
  })
  const used = tables.map(use => (readsLocal(use.argument) ? -1 : add(use.argument)))
  const motors = counts.map(({ count }) => add(count))
  const spaces = model.flights.map(flight => {
    const body = model.bodies[flight.body]!
    return add(body.kind === 'own' ? body.space : null)
  })
  const numbers = bodyNumbers(reading)
  const bodies = numbers.map(({ expr }) => add(expr))
  const errors = new Map<number, number>()
  info.forEach(({ error }, id) => {
    if (error) errors.set(id, add(error))
  })
  const program = compile(model, partsOf(model), extras)
  let probes: readonly Probe[] | null = null
  const slot = (extra: number): number => (extra === -1 ? -1 : program.extras[extra]!)
  return {
    reading,
    program,
    shownSlots: Int32Array.from(reading.opened.shown, ({ id }) => program.slots[id]!),
    givenIds: givenIds(reading, program),
    rangeSlots: program.levers.map(id => {
      const [from, to, step] = ranges.get(id)!
      return [slot(from), slot(to), slot(step)]
    }),
    tableSlots: used.map(slot),
    countSlots: motors.map(slot),
    bodyNumbers: numbers,
    bodySlots: bodies.map(slot),
    spaceSlots: spaces.map(slot),
    errorSlots: new Map([...errors].map(([id, extra]) => [id, slot(extra)])),
    probes: () => {
      probes ??= probesOf(program)
      return probes
    },
    ranges: new Map(),
  }
}

function givenIds({ opened }: Reading, { slots, algebra }: Program): Int32Array {
  const { quantities } = opened.model
  const isGiven = ({ hangs, hidden, figure }: Info, id: number): boolean =>
    !hangs && !hidden && !figure && quantities[id]!.role !== 'lever' && slots[id]! < algebra
  return Int32Array.from([...opened.info.keys()].filter(id => isGiven(opened.info[id]!, id)))
}

/** Sets facts and pins levers, and makes the ranges as they are then. What is wrong stands in `problems`. */
export function openSession(compiled: Compiled, set: Settings): Session {
  const state = start(compiled.program)
  const problems: Problem[] = []
  const entries = Object.entries(set)
  const pins: [number, number, string][] = []
  for (const [name, value] of entries) {
    const found = settingFor(compiled, name, value, state, problems)
    if (!found) continue
    if (found.role === 'fact') state.setFact(found.id, found.si)
    else pins.push([found.id, found.si, name])
  }
  state.refresh()
  const ranges = compiled.rangeSlots.map((slots, lever) => rangeAt(compiled, state, slots, lever, problems))
  for (const [id, si, name] of pins) pin(compiled, state, ranges, id, si, name, problems)
  return { compiled, state, ranges, problems }
}

function settingFor(
  compiled: Compiled,
  name: string,
  value: string | number,
  state: State,
  problems: Problem[],
): { role: 'fact' | 'lever'; id: number; si: number } | null {
  const { opened } = compiled.reading
  const key = name.normalize('NFC').trim().replace(/\s+/g, ' ')
  const id = opened.ids.get(key)
  const role = id === undefined ? undefined : opened.model.quantities[id]!.role
  if (id === undefined || role === undefined) {
    problems.push(
      error(
        OUTSIDE,
        `Nothing in the sheet is called "${key}", so it cannot be set.`,
        didYouMean(key, opened.ids.keys()) ?? 'Facts and levers can be set, by the names that the sheet gives them.',
      ),
    )
    return null
  }
  const asked = outsideAt(opened.info[id]!.span)
  if (role !== 'fact' && role !== 'lever') {
    problems.push(
      error(asked, `"${key}" is worked out; only facts and levers can be set.`, 'Set what it is worked out from.'),
    )
    return null
  }
  const of = { name: key, dimension: opened.info[id]!.dimension }
  const si = typeof value === 'number' ? value : valueOfText(compiled, of, value, state, problems)
  if (si === null) return null
  if (Number.isFinite(si)) return { role, id, si }
  problems.push(error(asked, `"${key}" cannot be set to ${value}: that is not a number.`, 'Give it a finite number.'))
  return null
}

const ONE_VALUE = 'Give a number with its unit, such as 55 % or 180 kg.'

/** The SI value of an expression in the sheet's own terms, for what is called so and has that dimension: the sheet's facts may stand in it. */
export function valueOfText(
  compiled: Compiled,
  { name, dimension: wanted }: { readonly name: string; readonly dimension: Dimension },
  text: string,
  state: State,
  problems: Problem[],
): number | null {
  const { reading } = compiled
  const tree = parse(`fact value = ${text.replace(/[\r\n]+/g, ' ')}`)
  const statement = tree.statements[0]
  const found: Problem[] = [...tree.problems]
  const checked =
    statement?.kind === 'fact' && !statement.error ? elaborate(statement.value, reading.surroundings(found)) : null
  const say = (message: string, mend: string): null => {
    const id = reading.opened.ids.get(name)
    problems.push(error(id === undefined ? OUTSIDE : outsideAt(reading.opened.info[id]!.span), message, mend))
    return null
  }
  if (!checked)
    return say(
      `"${name}" cannot be set to "${text}": ${found[0]?.message ?? 'that is not one value.'}`,
      found[0]?.mend ?? ONE_VALUE,
    )
  if (!same(checked.dimension, wanted))
    return say(`"${name}" is ${describe(wanted)}; "${text}" is ${describe(checked.dimension)}.`, unitMend(wanted))
  if (checked.expr.op === 'const') return checked.expr.value
  const { model } = reading.opened
  const program = compile({ ...model, targets: [], aims: [] }, partsOf(model), [checked.expr])
  const slot = program.extras[0]!
  if (slot >= program.algebra)
    return say(
      `"${name}" can be set to what is known only; "${text}" hangs on a lever.`,
      'Give it by numbers and facts.',
    )
  const alone = start(program)
  state.refresh()
  model.quantities.forEach((quantity, other) => {
    if (quantity.role === 'fact') alone.setFact(other, state.valueOf(other))
  })
  alone.refresh()
  return alone.values[slot]!
}

const RANGE_WORDS = {
  'upside down': ['is upside down: it begins above its end.', 'Swap the two ends.'],
  'no width': ['has no width: both ends are the same.', 'Make it a fact, or move one end.'],
  'no step': ['has a step that is not above zero.', 'Write a step above zero, or leave it out.'],
  'too many': ['has over a million steps.', 'Make the step larger, or leave it out.'],
} as const

function rangeAt(
  compiled: Compiled,
  state: State,
  [from, to, step]: readonly [number, number, number],
  lever: number,
  problems: Problem[],
): LeverRange | null {
  const { opened } = compiled.reading
  const info = opened.info[compiled.program.levers[lever]!]!
  const at = (slot: number): number => state.values[slot]!
  const ends = [at(from), at(to), step === -1 ? 1 : at(step)]
  if (!ends.every(Number.isFinite)) {
    problems.push(error(info.span, `The range of "${info.name}" has no finite ends.`, 'Look at the facts it hangs on.'))
    return null
  }
  const last = compiled.ranges.get(lever)
  if (last?.ends.every((end, i) => end === ends[i])) return last.range
  const range = leverRange(info.lever!.written, ends[0]!, ends[1]!, step === -1 ? null : ends[2]!)
  if (typeof range !== 'string') {
    compiled.ranges.set(lever, { ends, range })
    return range
  }
  const [words, mend] = RANGE_WORDS[range]
  problems.push(error(info.span, `The range of "${info.name}" ${words}`, mend))
  return null
}

function pin(
  compiled: Compiled,
  state: State,
  ranges: readonly (LeverRange | null)[],
  id: number,
  si: number,
  name: string,
  problems: Problem[],
): void {
  const lever = ranges[compiled.program.levers.indexOf(id)]
  if (!lever) return
  const { from, to, settings } = lever.range
  const info = compiled.reading.opened.info[id]!
  const { unit } = info.lever!.written
  const asked = outsideAt(info.span)
  const shown = (value: number): string => `${lever.text(value)} ${unit.text}`.trim()
  if (si < from || si > to) {
    problems.push(
      error(
        asked,
        `"${name}" cannot be set to ${shown(si)}: its range is ${shown(from)} to ${shown(to)}.`,
        'Give a value in its range, or widen the range in the sheet.',
      ),
    )
    return
  }
  if (settings && settings[nearestSetting(settings, si)] !== si)
    problems.push(warning(asked, `"${name}" at ${shown(si)} is between its steps.`))
  state.pin(id, si)
}
