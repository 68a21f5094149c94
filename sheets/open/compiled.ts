import { compile, type Expr, type Probe, type Program, partsOf, probesOf } from '../../solver/index.ts'
import { type BodyNumber, bodyNumbers } from './body-numbers.ts'
import { readsLocal } from './drag-breaks.ts'
import type { Reading } from './open.ts'
import type { Info } from './opened.ts'
import type { LeverRange } from './range.ts'

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
