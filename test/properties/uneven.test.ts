import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compile, start, unevenSlots } from '../../solver/network/index.ts'
import type { State } from '../../solver/network/state.ts'
import { closedParts, figure, lever, model, num, range, ref } from '../support/closed-flight.ts'
import { expressions, type Ingredients } from '../support/expressions.ts'

/** Without what bends by itself at the edge of what it takes (√y², atan 1/y), which is not told: a sheet says abs(y). */
const INGREDIENTS: Ingredients = {
  unary: ['neg', 'exp', 'sin', 'cos', 'abs'],
  binary: ['add', 'sub', 'mul', 'min', 'max'],
  branches: true,
}

// Source: the definition. What is told even has slopes that lead from each value to the next.
test('what is told even does not jump or bend between any two places of a line through the ranges', () => {
  const told = { even: 0, bending: 0 }
  fc.assert(
    fc.property(
      expressions(2, INGREDIENTS, 3),
      fc.array(fc.double({ min: 0.01, max: 0.99, noNaN: true }), { minLength: 4, maxLength: 4 }),
      (expr, ends) => {
        const state = start(
          compile(
            model([lever('x', 0.5, 2), lever('y', -1, 1), figure('f', expr)], {
              targets: [{ level: 'must', value: ref(2), limit: { kind: 'at least', value: num(0) } }],
            }),
            closedParts(),
          ),
        )
        const slots = unevenSlots(state, [range(0.5, 2), range(-1, 1)])
        const slot = state.program.slots[2]!
        if (slots.length > 0) told.bending++
        if (slots[slot] === 1) return
        if (slots.length > 0) told.even++
        const from = [0.5 + 1.5 * ends[0]!, -1 + 2 * ends[1]!] as const
        const to = [0.5 + 1.5 * ends[2]!, -1 + 2 * ends[3]!] as const
        expect(breakBetween(state, from, to)).toBe(false)
      },
    ),
    { numRuns: 1500 },
  )
  expect(told.even).toBeGreaterThan(50)
  expect(told.bending).toBeGreaterThan(500)
})

type Place = readonly [number, number]

/** Whether quantity 2 jumps or bends on the way from one place to another: looked for where its slopes lead farthest astray, ever closer. */
function breakBetween(state: State, from: Place, to: Place): boolean {
  const along = [to[0] - from[0], to[1] - from[1]] as const
  const at = (s: number) => {
    state.evaluateAlgebra(Float64Array.of(from[0] + s * along[0], from[1] + s * along[1]), true)
    const slopes = state.slopesOf(2)
    return {
      s,
      value: state.valueOf(2),
      slope: slopes[0]! * along[0] + slopes[1]! * along[1],
      steepest: Math.max(Math.abs(slopes[0]!), Math.abs(slopes[1]!)),
    }
  }
  type Look = ReturnType<typeof at>
  const astray = ([a, b]: readonly [Look, Look]): number =>
    Math.abs(b.value - a.value - ((b.s - a.s) * (a.slope + b.slope)) / 2) + (b.s - a.s) * Math.abs(b.slope - a.slope)
  const looks = Array.from({ length: 33 }, (_, i) => at(i / 32))
  // Values and slopes without a number, and poles, are no jump of ours.
  const tame = ({ value, steepest }: Look): boolean => Math.abs(value) < 1e3 && steepest < 1e3
  if (!looks.every(tame)) return false
  let worst: readonly [Look, Look] = [looks[0]!, looks[1]!]
  looks.slice(2).forEach((look, i) => {
    const next = [looks[i + 1]!, look] as const
    if (astray(next) > astray(worst)) worst = next
  })
  for (let halving = 0; halving < 20; halving++) {
    const middle = at((worst[0].s + worst[1].s) / 2)
    if (!tame(middle)) return false
    const [one, two] = [[worst[0], middle] as const, [middle, worst[1]] as const]
    worst = astray(one) > astray(two) ? one : two
  }
  const [a, b] = worst
  return Math.abs(b.value - a.value) > 1e-3 || Math.abs(b.slope - a.slope) > 1e-2
}
