import { error } from '../../grammar/source.ts'
import type { Expression } from '../../grammar/tree.ts'
import { type Dimension, describe, isNone, NONE, power, same } from '../../grammar/units/dimension.ts'
import type { AirProperty, Expr, Unary } from '../../solver/index.ts'
import { type Checked, type Surroundings, sameOrSay, type TableEntry } from './checked.ts'
import { bareMend, plainMend, told } from './disagree.ts'
import { dimensionOf } from './kinds.ts'
import { didYouMean } from './scope.ts'

type Call = Extract<Expression, { kind: 'call' }>

const LENGTH = dimensionOf('m')
const ANGLE = dimensionOf('rad')

/** Functions of one argument: what they take and what they give. */
const FUNCTIONS: Readonly<
  Record<
    string,
    {
      readonly op: Unary
      readonly takes: 'any' | 'number' | 'angle'
      readonly gives: 'same' | 'number' | 'angle' | 'root'
    }
  >
> = {
  sqrt: { op: 'sqrt', takes: 'any', gives: 'root' },
  abs: { op: 'abs', takes: 'any', gives: 'same' },
  exp: { op: 'exp', takes: 'number', gives: 'number' },
  ln: { op: 'ln', takes: 'number', gives: 'number' },
  log10: { op: 'log10', takes: 'number', gives: 'number' },
  sin: { op: 'sin', takes: 'angle', gives: 'number' },
  cos: { op: 'cos', takes: 'angle', gives: 'number' },
  tan: { op: 'tan', takes: 'angle', gives: 'number' },
  asin: { op: 'asin', takes: 'number', gives: 'angle' },
  acos: { op: 'acos', takes: 'number', gives: 'angle' },
  atan: { op: 'atan', takes: 'number', gives: 'angle' },
}

/** Air functions by the name that a sheet calls them. */
const AIR: ReadonlyMap<string, { readonly property: AirProperty; readonly dimension: Dimension }> = new Map([
  ['air pressure', { property: 'pressure', dimension: dimensionOf('Pa') }],
  ['air density', { property: 'density', dimension: dimensionOf('kg/m^3') }],
  ['air temperature', { property: 'temperature', dimension: dimensionOf('K') }],
  ['sound speed', { property: 'sound speed', dimension: dimensionOf('m/s') }],
  ['gravity', { property: 'gravity', dimension: dimensionOf('m/s^2') }],
])

export const CALLABLE: readonly string[] = [...Object.keys(FUNCTIONS), 'min', 'max', ...AIR.keys()]

type Args = readonly (Checked | null)[]

/** Elaborates `NAME(…)` from its elaborated arguments: a table of the sheet, a built-in function, or the air of a body. */
export function elaborateCall(call: Call, args: Args, around: Surroundings): Checked | null {
  const name = call.name.text
  const table = around.table(name)
  if (table && call.of === null) return callTable(call, args, table, around)
  if (name === 'min' || name === 'max') return callExtreme(call, args, name, around)
  const air = AIR.get(name)
  if (air) return callAir(call, args, air, around)
  const entry = Object.hasOwn(FUNCTIONS, name) ? FUNCTIONS[name] : undefined
  if (entry) return callFunction(call, args, entry, around)
  if (around.lost(name)) return null
  const known = around.known()
  around.problems.push(
    error(
      call.name.span,
      `"${name}" is not a table or a function here.`,
      (name === 'log' ? 'Write ln(…) for the natural logarithm, log10(…) for that to base ten.' : null) ??
        (known.has(name) ? null : didYouMean(name, known)) ??
        'To multiply, write * before the parenthesis.',
    ),
  )
  return null
}

function callFault(call: Call, wanted: string, mend: string, around: Surroundings): null {
  around.problems.push(error(call.span, `${call.name.text} takes ${wanted}; here it has ${call.args.length}.`, mend))
  return null
}

/** The only argument of a call, checked; null where there is a mistake. */
function onlyArgument(call: Call, args: Args, around: Surroundings): Checked | null {
  return args.length === 1 ? args[0]! : callFault(call, 'one value', 'Leave out all but one.', around)
}

function callTable(call: Call, args: Args, table: TableEntry, around: Surroundings): Checked | null {
  const arg = onlyArgument(call, args, around)
  if (!arg) return null
  if (table.columns.length > 2) {
    around.problems.push(
      error(
        call.name.span,
        `The table "${table.name}" has ${table.columns.length} columns, so it does not give one value.`,
        'Tables of several columns tell the air of a body: "air table = NAME" in its block.',
      ),
    )
    return null
  }
  if (!same(arg.dimension, table.argument)) {
    around.problems.push(
      error(
        call.args[0]!.span,
        `The table "${table.name}" is looked up by ${describe(table.argument)}; this is ${told(arg)}.`,
        bareMend(call.args[0]!, arg, { dimension: table.argument }) ?? `Give it ${describe(table.argument)}.`,
        [{ ...table.span, message: `looked up by ${describe(table.argument)}` }],
      ),
    )
    return null
  }
  around.used(table, arg.expr, call.span)
  return { expr: { op: 'curve', curve: table.curve, a: arg.expr }, dimension: table.value }
}

function callExtreme(call: Call, args: Args, op: 'min' | 'max', around: Surroundings): Checked | null {
  if (args.length < 2) return callFault(call, 'two or more values', 'Add another, with a comma between them.', around)
  if (args.some(arg => arg === null)) return null
  const [first, ...rest] = args as Checked[]
  let expr: Expr = first!.expr
  for (const [index, arg] of rest.entries()) {
    if (!sameOrSay(first!, arg, call.args[0]!, call.args[index + 1]!, `${op} compares values of one kind`, around))
      return null
    expr = { op, a: expr, b: arg.expr }
  }
  return { expr, dimension: first!.dimension }
}

function callAir(
  call: Call,
  args: Args,
  air: { readonly property: AirProperty; readonly dimension: Dimension },
  around: Surroundings,
): Checked | null {
  const arg = onlyArgument(call, args, around)
  const body = around.body(call.name, call.of, call.span)
  if (!arg || body === null) return null
  if (!same(arg.dimension, LENGTH)) {
    around.problems.push(
      error(
        call.args[0]!.span,
        `${call.name.text} wants an altitude, a length; this is ${told(arg)}.`,
        bareMend(call.args[0]!, arg, { dimension: LENGTH }) ?? 'Give it an altitude, such as 10 km.',
      ),
    )
    return null
  }
  return { expr: { op: 'air', property: air.property, body, a: arg.expr }, dimension: air.dimension }
}

function callFunction(
  call: Call,
  args: Args,
  entry: NonNullable<(typeof FUNCTIONS)[string]>,
  around: Surroundings,
): Checked | null {
  const arg = onlyArgument(call, args, around)
  if (!arg) return null
  const wanted = entry.takes
  const fits = wanted === 'any' || isNone(arg.dimension) || (wanted === 'angle' && same(arg.dimension, ANGLE))
  if (!fits) {
    const words = wanted === 'angle' ? 'an angle or a plain number' : 'a plain number'
    const mend = `${wanted === 'angle' ? 'Give it an angle, such as 30 deg. ' : ''}${plainMend(arg)}`
    around.problems.push(error(call.args[0]!.span, `${call.name.text} takes ${words}; this is ${told(arg)}.`, mend))
    return null
  }
  const dimensions = { same: arg.dimension, number: NONE, angle: ANGLE, root: power(arg.dimension, 0.5) }
  return { expr: { op: entry.op, a: arg.expr }, dimension: dimensions[entry.gives] }
}
