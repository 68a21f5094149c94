import type { Expression } from '../../grammar/tree.ts'
import { NONE } from '../../grammar/units/dimension.ts'
import { compile, type Expr, type Model, partsOf, start, type Test } from '../../solver/index.ts'
import { type Checked, constant } from './checked.ts'
import { elaborate } from './expression.ts'
import type { Scope } from './scope.ts'
import type { Session } from './session.ts'
import type { Desk, Node } from './working-node.ts'

/** A sheet at the point last worked out, ready to be told of. `nodeOf` makes the node of a quantity. */
export function deskAt(session: Session, scope: Scope, nodeOf: (desk: Desk, id: number) => Node): Desk {
  const { reading } = session.compiled
  const { opened } = reading
  const around = reading.surroundings([])
  const nodes = new Map<number, Node>()
  let still: Model | null = null
  const desk: Desk = {
    session,
    opened,
    scope,
    around,
    quantity: id => {
      const node = nodes.get(id) ?? nodeOf(desk, id)
      nodes.set(id, node)
      return node
    },
    lookup: (name, of) => {
      const id = opened.ids.get(of ? `${name.text} of ${of.text}` : name.text)
      return id === undefined ? null : desk.quantity(id)
    },
    values: exprs => {
      still ??= stillModel(session)
      return valuesIn(still, exprs)
    },
    checked: (expression, mach) => checkedAt(expression, mach, desk),
  }
  return desk
}

/** The sheet with every quantity a known number: expressions in its terms can then be worked out without flights. */
function stillModel({ state, compiled }: Session): Model {
  const { model } = compiled.reading.opened
  return {
    quantities: model.quantities.map(({ name }, id) => ({ role: 'fact', name, value: constant(state.valueOf(id)) })),
    bodies: model.bodies,
    flights: [],
    targets: [],
    aims: [],
  }
}

function valuesIn(model: Model, exprs: readonly Expr[]): readonly number[] {
  const program = compile(model, partsOf(model), exprs)
  const state = start(program)
  state.evaluateAlgebra(new Float64Array(0))
  return Array.from(program.extras, slot => state.values[slot]!)
}

function checkedAt(expression: Expression, mach: number | null, { around }: Desk): Checked | null {
  const quiet = { ...around, problems: [], used: () => {}, counted: () => {} }
  if (mach === null) return elaborate(expression, quiet)
  const checked = elaborate(expression, { ...quiet, local: { name: 'mach', dimension: NONE } })
  return checked && { ...checked, expr: atMach(checked.expr, mach) }
}

/** An expression with its mach number put in. */
export function atMach(expr: Expr, mach: number): Expr {
  if (expr.op === 'local') return constant(mach)
  if (expr.op === 'if')
    return { ...expr, test: testAtMach(expr.test, mach), yes: atMach(expr.yes, mach), no: atMach(expr.no, mach) }
  if ('b' in expr) return { ...expr, a: atMach(expr.a, mach), b: atMach(expr.b, mach) }
  return 'a' in expr ? { ...expr, a: atMach(expr.a, mach) } : expr
}

function testAtMach(test: Test, mach: number): Test {
  if (test.op === 'not') return { ...test, a: testAtMach(test.a, mach) }
  if (test.op === 'and' || test.op === 'or')
    return { ...test, a: testAtMach(test.a, mach), b: testAtMach(test.b, mach) }
  return { ...test, a: atMach(test.a, mach), b: atMach(test.b, mach) }
}
