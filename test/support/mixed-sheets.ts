import fc from 'fast-check'
import type { Expr } from '../../solver/model/expr.ts'
import type { Quantity, Range, Target } from '../../solver/model/model.ts'
import { compile, type State, start } from '../../solver/network/index.ts'
import { add, closedParts, div, figure, lever, model, mul, num, range, ref, sub } from './closed-flight.ts'
import { ALL, expressions } from './expressions.ts'

/** A sheet whose levers' ranges are told by the session, as they are at run time: those in its model are far wider. */
export interface MixedSheet {
  readonly state: State
  /** By lever. */
  readonly ranges: readonly Range[]
  /** The settings that the musts' limits were set by: they meet all of them in about half the sheets. */
  readonly point: Float64Array
}

const SHAPES = ['sum', 'sum', 'sum', 'product', 'quotient', 'square', 'abs', 'min', 'max', 'if', 'root', 'any'] as const
const LIMITS = ['at least', 'at most', 'within', 'equal within', 'equal to', 'moving'] as const
const UNITS = [1e-3, 1, 37.5, 1e3, 1e6]

/**
 * Figures made of sums over two to four levers in units from 1e-3 to 1e6, every second one stepped in half of the sheets, with musts of
 * every kind whose limits lie about the figures' values at a point: exactly there, or missed by less than the judgement forgives.
 */
export const mixedSheets: fc.Arbitrary<MixedSheet> = fc
  .record({
    wishes: fc.array(
      fc.record({ shape: fc.constantFrom(...SHAPES), kind: fc.constantFrom(...LIMITS), off: fc.nat(11) }),
      { minLength: 2, maxLength: 5 },
    ),
    units: fc.array(fc.constantFrom(...UNITS), { minLength: 2, maxLength: 4 }),
    stepped: fc.boolean(),
    any: expressions(2, ALL, 2),
    numbers: fc.infiniteStream(fc.integer({ min: -1000, max: 1000 })),
  })
  .map(({ wishes, units, stepped, any, numbers }) => {
    const next = () => (numbers.next().value ?? 0) / 1000
    const ranges = units.map((unit, l) => {
      const from = (Math.round(next() * 20) / 10) * unit
      const settings =
        stepped && l % 2 === 1 ? Float64Array.from({ length: 21 }, (_, k) => from + (k / 10) * unit) : null
      return range(from, settings ? settings[20]! : from + 2 * unit, settings)
    })
    const point = Float64Array.from(ranges, ({ from, to, settings }) => {
      const share = (next() + 1) / 2
      return settings ? settings[Math.floor(share * 20)]! : Math.min(to, from + share * (to - from))
    })
    const sum = (): Expr => sumOver(units, next)
    const quantities: Quantity[] = units.map((_, l) => lever(`l${l}`, -1e30, 1e30))
    for (const [k, { shape }] of wishes.entries()) quantities.push(figure(`f${k}`, shaped(shape, sum, any)))
    const bare = start(compile(model(quantities), closedParts()))
    bare.evaluateAlgebra(point)
    const targets = wishes.map(({ kind, off }, k) => {
      const id = units.length + k
      const at = bare.valueOf(id)
      return must(ref(id), kind, Number.isFinite(at) ? at : 0.5, off, div(ref(0), num(units[0]!)))
    })
    return { state: start(compile(model(quantities, { targets }), closedParts())), ranges, point }
  })

/** A sum over levers as sheets write them, with coefficients that are of one size in the levers' own units. */
function sumOver(units: readonly number[], next: () => number): Expr {
  return units.reduce<Expr>(
    (expr, unit, l) => {
      const c = Math.round(next() * 10) / 10
      if (c === 0) return expr
      return next() > 0.4 ? sub(expr, div(ref(l), num(unit / c))) : add(expr, mul(num(c / unit), ref(l)))
    },
    num(Math.round(next() * 10)),
  )
}

function shaped(shape: (typeof SHAPES)[number], sum: () => Expr, any: Expr): Expr {
  switch (shape) {
    case 'sum':
      return sum()
    case 'product':
      return mul(sum(), sum())
    case 'quotient':
      return div(sum(), sum())
    case 'square':
      return { op: 'pow', a: sum(), b: num(2) }
    case 'abs':
      return { op: 'abs', a: sum() }
    case 'if':
      return { op: 'if', test: { op: 'ge', a: sum(), b: sum() }, yes: sum(), no: { op: 'sqrt', a: sum() } }
    case 'root':
      return add({ op: 'sqrt', a: sum() }, sum())
    case 'any':
      return add(any, sum())
    default:
      return { op: shape, a: sum(), b: sum() }
  }
}

/** A must on a value of `x` at the point. Off 0: met exactly; 1: missed by what is forgiven; 2: the limit is zero; 10, 11: not met. */
function must(value: Expr, kind: (typeof LIMITS)[number], x: number, off: number, moving: Expr): Target {
  const level = 'must'
  const size = Math.abs(x)
  if (off === 2) {
    const limit = kind === 'at least' || kind === 'at most' ? kind : null
    const zero = num(0)
    return {
      level,
      value: sub(value, num(x)),
      limit: limit ? { kind: limit, value: zero } : { kind: 'equal to', value: zero, tolerance: null },
    }
  }
  const room = off === 1 ? -0.9e-9 * size : off > 9 ? -0.05 * off * size : 0.02 * off * (size + 0.1)
  switch (kind) {
    case 'at least':
      return { level, value, limit: { kind, value: num(x - room) } }
    case 'at most':
      return { level, value, limit: { kind, value: num(x + room) } }
    case 'within':
      return { level, value, limit: { kind, from: num(x - room), to: num(x + Math.abs(room) + 0.1 * size + 0.01) } }
    case 'equal within':
      return {
        level,
        value,
        limit: { kind: 'equal to', value: num(x - room), tolerance: num(Math.abs(room) + 0.01 * size + 1e-3) },
      }
    case 'equal to':
      return {
        level,
        value,
        limit: { kind, value: num(off === 1 ? x * (1 + 0.9e-6) : off > 9 ? 1.3 * x + 1 : x), tolerance: null },
      }
    default:
      return { level, value: add(value, moving), limit: { kind: 'at most', value: add(moving, num(x + room)) } }
  }
}
