import { error, type Problem, type Span } from '../../grammar/source.ts'
import { type Curve, type Expr, impulseOf } from '../../solver/index.ts'
import { constant, type Surroundings } from './checked.ts'

/** The slots of one stage: what is given, which of it is written in its own block, and where a problem is told. */
export interface StageSlots {
  readonly owner: string
  readonly span: Span
  readonly values: ReadonlyMap<string, Expr>
  readonly curves: ReadonlyMap<string, Curve>
  readonly written: ReadonlySet<string>
  readonly spanOf: (slot: string) => Span
}

/** A motor as the solver takes it: thrusts of all together [N], effective exhaust speed [m/s], shape of the thrust over time. */
export interface Motor {
  readonly vacuumThrust: Expr
  readonly seaLevelThrust: Expr
  readonly exhaustSpeed: Expr
  readonly shape?: Curve
}

const binary =
  (op: 'mul' | 'div') =>
  (a: Expr, b: Expr): Expr => ({ op, a, b })
const [mul, div] = [binary('mul'), binary('div')]

/** What tells how long the propellant lasts: any one of them. */
const LASTING = ['specific impulse', 'rated burn time', 'total impulse'] as const

/** Stands for a motor where nothing burns; none of it is used. */
const IDLE: Motor = { vacuumThrust: constant(1), seaLevelThrust: constant(1), exhaustSpeed: constant(1) }

/** For a count that is no whole number of motors. */
export const WHOLE = 'Give a whole number, such as 3.'

/** The motor of a stage, or null after saying what it lacks. `idle`: a stage that may go without. */
export function motorOf(
  slots: StageSlots,
  idle: boolean,
  hangs: (expr: Expr) => boolean,
  around: Surroundings,
): Motor | null {
  const { values, curves } = slots
  if (idle && !values.has('propellant mass')) return IDLE
  const curve = curves.get('thrust curve')
  const count = values.get('count') ?? constant(1)
  if (count.op === 'const' && !(Number.isInteger(count.value) && count.value > 0)) {
    around.problems.push(
      error(slots.spanOf('count'), `The count is of whole motors, 1 or more; this is ${count.value}.`, WHOLE),
    )
    return null
  }
  if (count.op !== 'const') around.counted(count, slots.spanOf('count'))
  const thrusts = curve ? curveThrusts(slots, curve, count, around) : flatThrusts(slots, count, around)
  const lasting = lastingOf(slots, curve !== undefined, around)
  if (lasting === null || !thrusts) return null
  const load = values.get('propellant mass') ?? constant(0)
  if (lasting !== 'specific impulse' && hangs(load)) {
    around.problems.push(
      error(
        lasting === 'thrust curve' ? slots.spanOf('thrust curve') : slots.spanOf(lasting),
        `The ${lasting} tells what one load of propellant gives, but here the propellant mass hangs on a lever.`,
        'Give the specific impulse instead: it stays the same for every load.',
      ),
    )
    return null
  }
  const { vacuumThrust, seaLevelThrust, shape } = thrusts
  const exhaustSpeed = exhaustOf(slots, lasting, thrusts, count, load)
  return shape ? { vacuumThrust, seaLevelThrust, exhaustSpeed, shape } : { vacuumThrust, seaLevelThrust, exhaustSpeed }
}

type Lasting = (typeof LASTING)[number] | 'thrust curve'

/** What is written in the block goes before what the sheet has by name; two in the block contradict each other. */
function lastingOf(
  { values, written, owner, span, spanOf }: StageSlots,
  curve: boolean,
  around: Surroundings,
): Lasting | null {
  const here = LASTING.filter(slot => written.has(slot) && values.has(slot))
  if (here.length > 1) {
    around.problems.push(
      error(
        spanOf(here[1]!),
        `The ${here[0]} and the ${here[1]} are both given; each tells the other.`,
        'Keep one of the two.',
      ),
    )
    return null
  }
  if (curve && (here[0] === 'rated burn time' || here[0] === 'total impulse')) {
    around.problems.push(
      error(spanOf(here[0]), `The thrust curve tells the ${here[0]} already.`, 'Leave one of the two out.'),
    )
    return null
  }
  if (here[0]) return here[0]
  if (curve) return values.has('specific impulse') ? 'specific impulse' : 'thrust curve'
  const byName = LASTING.find(slot => values.has(slot))
  if (byName) return byName
  if (!around.lost('specific impulse')) around.problems.push(missing(owner, span, 'specific impulse'))
  return null
}

/** A slot that must be given and is not. Only a flight takes what the sheet declares; in blocks of its own only written lines count. */
export function missing(owner: string, span: Span, slot: string): Problem {
  const mend = owner.startsWith('The flight ')
    ? `Declare it ("fact ${slot} = …"), or write an indented line "${slot} = …" under the flight.`
    : `Write an indented line "${slot} = …" under it.`
  return error(span, `${owner} is given no ${slot}.`, mend)
}

function flatThrusts(
  { values, owner, span }: StageSlots,
  count: Expr,
  around: Surroundings,
): Omit<Motor, 'exhaustSpeed'> | null {
  const thrust = values.get('vacuum thrust')
  if (!thrust) {
    if (!around.lost('vacuum thrust')) around.problems.push(missing(owner, span, 'vacuum thrust'))
    return null
  }
  const vacuumThrust = several(count, thrust)
  const sea = values.get('sea level thrust')
  return { vacuumThrust, seaLevelThrust: sea ? several(count, sea) : vacuumThrust }
}

function several(count: Expr, each: Expr): Expr {
  return count.op === 'const' && count.value === 1 ? each : mul(count, each)
}

/** A curve's largest thrust stands for the motor's; the sea level thrust keeps its share of the vacuum thrust all along. */
function curveThrusts(
  { values, spanOf, written }: StageSlots,
  curve: Curve,
  count: Expr,
  around: Surroundings,
): Omit<Motor, 'exhaustSpeed'> | null {
  const most = largest(curve)
  if (!(most > 0) || curve.knots[0]! < 0) {
    around.problems.push(
      error(
        spanOf('thrust curve'),
        'A thrust curve begins at 0 s or later and has some thrust above zero.',
        'Look at its rows: time first, then thrust.',
      ),
    )
    return null
  }
  const vacuumThrust = several(count, constant(most))
  const [sea, vacuum] = [values.get('sea level thrust'), values.get('vacuum thrust')]
  if (written.has('sea level thrust') && !vacuum) {
    around.problems.push(
      error(
        spanOf('sea level thrust'),
        'With a thrust curve the sea level thrust is taken as a share of the vacuum thrust, and that is not given.',
        'Write the vacuum thrust beside it: the two nominal values of the data sheet.',
      ),
    )
    return null
  }
  return {
    vacuumThrust,
    seaLevelThrust: sea && vacuum ? mul(vacuumThrust, div(sea, vacuum)) : vacuumThrust,
    shape: shapeOf(curve, most),
  }
}

function largest({ knots, coefficients }: Curve): number {
  let most = 0
  for (let k = 0; k < knots.length; k++) most = Math.max(most, k + 1 < knots.length ? coefficients[4 * k]! : 0)
  const last = knots.length - 2
  if (last < 0) return coefficients[0]!
  const w = knots[last + 1]! - knots[last]!
  const at = 4 * last
  const end = coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
  // Shape-preserving pieces have their largest value at a knot.
  return Math.max(most, end)
}

/** As shares of the largest thrust, from time 0 on: before its first row a table is held. */
function shapeOf({ knots, coefficients }: Curve, most: number): Curve {
  const shares = coefficients.map(c => c / most)
  if (knots[0] === 0) return { knots, coefficients: shares }
  const first = Float64Array.of(shares[0]!, 0, 0, 0)
  return { knots: Float64Array.of(0, ...knots), coefficients: Float64Array.of(...first, ...shares) }
}

function exhaustOf(
  { values }: StageSlots,
  lasting: Lasting,
  thrusts: Omit<Motor, 'exhaustSpeed'>,
  count: Expr,
  load: Expr,
): Expr {
  if (lasting === 'specific impulse') return values.get(lasting)!
  if (lasting === 'total impulse') return div(several(count, values.get(lasting)!), load)
  if (lasting === 'rated burn time') return div(mul(thrusts.vacuumThrust, values.get(lasting)!), load)
  const shape = thrusts.shape!
  const whole = impulseOf(shape, shape.knots[shape.knots.length - 1]!)
  return div(mul(thrusts.vacuumThrust, constant(whole)), load)
}
