import type { Binary, Expr, Id, Test, Unary } from '../model/expr.ts'
import type { Model } from '../model/model.ts'
import { Builder, PHASE } from './builder.ts'
import { BODY_SLOTS } from './node.ts'
import { type AirUse, OP, type Slot } from './tape.ts'

/** The tape being written and the slot of each quantity placed so far (−1: not yet). */
export interface Draft {
  readonly model: Model
  readonly main: Builder
  readonly slotOf: Int32Array
  /** The body's numbers, lowered once a body. */
  readonly bodies: Map<number, Int32Array>
}

/** The part of a local function that hangs on its argument: a side tape whose leaves are the argument and imports from the main tape. */
export interface SideDraft {
  readonly builder: Builder
  readonly argument: Slot
  /** Main slot → slot on the side tape. */
  readonly imports: Map<Slot, Slot>
}

const UNARY: Readonly<Record<Unary, number>> = {
  neg: OP.neg,
  sqrt: OP.sqrt,
  exp: OP.exp,
  ln: OP.ln,
  log10: OP.log10,
  sin: OP.sin,
  cos: OP.cos,
  tan: OP.tan,
  asin: OP.asin,
  acos: OP.acos,
  atan: OP.atan,
  abs: OP.abs,
}
const BINARY: Readonly<Record<Exclude<Binary, 'pow'>, number>> = {
  add: OP.add,
  sub: OP.sub,
  mul: OP.mul,
  div: OP.div,
  min: OP.min,
  max: OP.max,
}

/** Writes an expression of quantities and gives the slot of its value. */
export function lower(draft: Draft, expr: Expr): Slot {
  return write(draft, null, expr)
}

/** A new side tape. */
export function side(): SideDraft {
  const builder = new Builder()
  return { builder, argument: builder.leaf(PHASE.facts, false), imports: new Map() }
}

/** Writes a local function's body: what hangs on the argument goes to the side tape, the rest to the main one. Gives its slot on the side tape. */
export function lowerSide(draft: Draft, onto: SideDraft, expr: Expr): Slot {
  return imported(draft, onto, write(draft, onto, expr))
}

/** A place on either tape: side slot s is written ~s. */
type Place = number

function imported(draft: Draft, { builder, imports }: SideDraft, place: Place): Slot {
  if (place < 0) return ~place
  const known = imports.get(place)
  if (known !== undefined) return known
  const slot = builder.leaf(PHASE.facts, draft.main.free[place] === 1)
  imports.set(place, slot)
  return slot
}

function put(draft: Draft, onto: SideDraft | null, op: number, x: Place, y?: Place, z?: Place): Place {
  if (x >= 0 && (y === undefined || y >= 0) && (z === undefined || z >= 0)) return draft.main.push(op, x, y, z)
  const to = (place: Place | undefined) => (place === undefined ? undefined : imported(draft, onto!, place))
  return ~onto!.builder.push(op, to(x)!, to(y), to(z))
}

function write(draft: Draft, onto: SideDraft | null, expr: Expr): Place {
  const { main } = draft
  switch (expr.op) {
    case 'const':
      return main.constant(expr.value)
    case 'ref':
      return placed(draft, expr.id)
    case 'local':
      if (!onto) throw new Error('a local argument outside a local function')
      return ~onto.argument
    case 'if': {
      const test = writeTest(draft, onto, expr.test)
      return put(draft, onto, OP.choose, test, write(draft, onto, expr.yes), write(draft, onto, expr.no))
    }
    case 'curve': {
      const a = write(draft, onto, expr.a)
      return a < 0 ? ~onto!.builder.curve(expr.curve, ~a) : main.curve(expr.curve, a)
    }
    case 'air': {
      const a = write(draft, onto, expr.a)
      if (a < 0) throw new Error('the air asked at a local argument')
      return main.air({ body: expr.body, property: expr.property, numbers: bodyNumbers(draft, expr.body) }, a)
    }
    case 'pow':
      return writePower(draft, onto, expr.a, expr.b)
    case 'add':
    case 'sub':
    case 'mul':
    case 'div':
    case 'min':
    case 'max':
      return put(draft, onto, BINARY[expr.op], write(draft, onto, expr.a), write(draft, onto, expr.b))
    default:
      return put(draft, onto, UNARY[expr.op], write(draft, onto, expr.a))
  }
}

function placed({ slotOf, model }: Draft, id: Id): Slot {
  const slot = slotOf[id] ?? -1
  if (slot === -1) throw new Error(`quantity ${id} (${model.quantities[id]?.name}) read before it is worked out`)
  return slot
}

/** Squares, roots and first powers have instructions of their own: exact, and ten times quicker than a power. */
function writePower(draft: Draft, onto: SideDraft | null, base: Expr, exponent: Expr): Place {
  const a = write(draft, onto, base)
  if (exponent.op === 'const') {
    if (exponent.value === 1) return a
    if (exponent.value === 2) return put(draft, onto, OP.square, a)
    if (exponent.value === 0.5) return put(draft, onto, OP.sqrt, a)
  }
  return put(draft, onto, OP.pow, a, write(draft, onto, exponent))
}

function writeTest(draft: Draft, onto: SideDraft | null, test: Test): Place {
  switch (test.op) {
    case 'not':
      return put(draft, onto, OP.not, writeTest(draft, onto, test.a))
    case 'and':
    case 'or':
      return put(draft, onto, OP[test.op], writeTest(draft, onto, test.a), writeTest(draft, onto, test.b))
    default: {
      const a = write(draft, onto, test.a)
      const b = write(draft, onto, test.b)
      if (test.op === 'eq') return put(draft, onto, OP.eq, a, b)
      if (test.op === 'lt' || test.op === 'le') return put(draft, onto, OP[test.op], a, b)
      return put(draft, onto, test.op === 'gt' ? OP.lt : OP.le, b, a)
    }
  }
}

/** The slots of a body's numbers in the order of BODY_SLOTS. */
function bodyNumbers(draft: Draft, place: number): AirUse['numbers'] {
  const known = draft.bodies.get(place)
  if (known) return known
  const body = draft.model.bodies[place]!
  let numbers = new Int32Array(0)
  if (body.kind === 'earth' && body.warmth) numbers = Int32Array.of(lower(draft, body.warmth))
  if (body.kind === 'own') {
    const { radius, gravity, air, tableSound } = body
    const exprs = { radius, gravity, soundSpeed: tableSound, ...air } as Readonly<
      Record<(typeof BODY_SLOTS)[number], Expr | null | undefined>
    >
    numbers = Int32Array.from(BODY_SLOTS, name => {
      const expr = exprs[name]
      return expr ? lower(draft, expr) : -1
    })
  }
  draft.bodies.set(place, numbers)
  return numbers
}
