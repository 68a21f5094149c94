import type { State } from '../../solver/index.ts'
import { judge } from './answer-targets.ts'
import { fewFigures } from './few-figures.ts'
import { ROUNDING } from './mend.ts'
import type { Session } from './session.ts'

/** How short the musts stay, at most, and all the others together. NaN where one has no value. */
function shortfalls(state: State, widths: readonly number[]): readonly [number, number] {
  const short = judge(state, widths).map(({ margin }) => Math.max(0, -margin))
  const { targets } = state.program
  const of = (musts: boolean): number[] => short.filter((_, t) => (targets[t]!.level === 'must') === musts)
  return [Math.max(0, ...of(true)), of(false).reduce((sum, each) => sum + each, 0)]
}

/**
 * The settings that leave the musts least short, in as few figures as leave them a thousandth shorter at most: nobody flies them. Settings that meet
 * the musts, or that have no value there, stay as they are. `work`: what it cost.
 */
export function compromiseAt(
  session: Session,
  x: Float64Array,
  widths: readonly number[],
): { readonly x: Float64Array; readonly work: number } {
  const { state } = session
  let work = 0
  const shortAt = (at: Float64Array): readonly [number, number] => {
    state.evaluate(at, { accuracy: 'tight', slopes: false, scope: 'wanted' })
    work += state.work
    return shortfalls(state, widths)
  }
  const [worst, others] = shortAt(x)
  if (!(worst > 0)) return { x, work }
  const rounded = fewFigures(session, x, tried => {
    const [most, rest] = shortAt(tried)
    return most <= worst * (1 + ROUNDING) && rest <= others + ROUNDING * Math.max(others, worst)
  })
  return { x: rounded, work }
}
