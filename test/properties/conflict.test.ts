import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const letters = 'abcdef'

/** A sheet with stepped levers whose musts leave exactly the one setting it is built around, or nothing with `shift`. */
const needle = fc
  .record({
    at: fc.array(fc.integer({ min: 1, max: 19 }), { minLength: 1, maxLength: 3 }),
    size: fc.constantFrom(1e-6, 1e-3, 1, 1e3, 1e9),
    bend: fc.integer({ min: 0, max: 4 }),
  })
  .map(({ at, size, bend }) => {
    const name = (l: number): string => `x${letters[l]}`
    const levers = at.map((_, l) => `lever ${name(l)} from 0 to 20 in steps of 1`)
    // Each row moves by `size` a step, so that half a step's width around the value leaves one setting alone.
    const rows = at.map((value, l) => {
      const other = name((l + 1) % at.length)
      const mixed = at.length > 1 ? ` + ${bend} * ${other}` : ''
      const figure = `figure row ${letters[l]} = ${size} * (${name(l)}${mixed})`
      const centre = value + (at.length > 1 ? bend * at[(l + 1) % at.length]! : 0)
      return { figure, low: size * (centre - 0.4), high: size * (centre + 0.4), l }
    })
    return { at, levers, rows }
  })

test('a sheet whose musts leave a single setting is never called a conflict, whatever the size of its limits', () => {
  fc.assert(
    fc.property(needle, ({ levers, rows }) => {
      const musts = rows.map(({ l, low, high }) => `must row ${letters[l]} within ${low} to ${high}`)
      const answer = openSheet([...levers, ...rows.map(row => row.figure), ...musts].join('\n')).solve()
      expect(answer.outcome).toBe('solved')
      const met = answer.targets.every(target => target.met)
      expect(met).toBe(true)
    }),
    { numRuns: 60 },
  )
})

test('nor is a rocket whose musts are met at one setting and missed a step to any side', () => {
  const head = readFileSync('sheets/examples/heron.loft', 'utf8').replace(/^(must|should|aim).*\n/gm, '')
  const rocket = openSheet(head)
  fc.assert(
    fc.property(fc.integer({ min: 45, max: 99 }), fc.integer({ min: 45, max: 99 }), (load, cap) => {
      const at = (l: number, c: number) => rocket.at({ 'fuel fraction': l / 100, 'throttle cap': c / 100 })
      const here = at(load, cap)
      const musts = ['apoapsis', 'peak g', 'max q'].map(name => {
        const steps = [at(load + 1, cap), at(load - 1, cap), at(load, cap + 1), at(load, cap - 1)]
        const reach = 0.45 * Math.min(...steps.map(each => Math.abs(each[name]! - here[name]!)))
        return { name, low: here[name]! - reach, high: here[name]! + reach, reach }
      })
      const units: Record<string, string> = { apoapsis: 'm', 'peak g': 'm/s^2', 'max q': 'Pa' }
      const lines = musts
        .filter(({ reach }) => reach > 0)
        .map(({ name, low, high }) => `must ${name} within ${low} ${units[name]} to ${high} ${units[name]}`)
      expect(openSheet([head, ...lines].join('\n')).solve().outcome).toBe('solved')
    }),
    { numRuns: 25 },
  )
})

test('no weight of a lower level buys a loss at a higher one, whatever the sizes', () => {
  const size = fc.constantFrom(1e-6, 1e-3, 1, 1e3, 1e6, 1e9)
  fc.assert(
    fc.property(
      fc.array(size, { minLength: 3, maxLength: 3 }),
      fc.array(fc.integer({ min: 1, max: 18 }), { minLength: 3, maxLength: 3 }),
      fc.boolean(),
      ([a, b, c], [must, should, could], steps) => {
        // One lever pulled three ways: only the order of the levels can decide.
        const text = [
          `lever x from 0 to 20${steps ? ' in steps of 1' : ''}`,
          `must   ${a} * x at most ${a! * must!}`,
          `should ${b} * x at least ${b! * (should! + must!)}`,
          `could  ${c} * x at most ${c! * could! * 1e-3}`,
          `aim    least ${a} * x`,
        ].join('\n')
        const answer = openSheet(text).solve()
        expect(answer.outcome).toBe('solved')
        // The should wants more than the must allows: it takes all that it may, and neither the could nor the aim gives any of it back.
        expect(answer.quantities.x!.si).toBeCloseTo(must!, steps ? 12 : 5)
      },
    ),
    { numRuns: 100 },
  )
})

test('a mend frees its own set, and 1 % less of its change does not', () => {
  const pair = fc.record({
    weights: fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 2, maxLength: 2 }),
    least: fc.integer({ min: 20, max: 60 }),
    size: fc.constantFrom(1e-6, 1e-3, 1, 1e3, 1e9),
  })
  fc.assert(
    fc.property(pair, ({ weights: [p, q], least, size }) => {
      const head = `lever x from 0 to 10\nlever y from 0 to 10\nfigure need = ${size} * (${p} * x + ${q} * y)\nfigure cost = ${size} * (x + y)`
      const most = (size * least) / (2 * Math.max(p!, q!))
      const first = `must need at least ${size * least}`
      const second = `must cost at most ${most}`
      const { outcome, conflict } = openSheet([head, first, second].join('\n')).solve()
      // Too much asked of the levers' ranges altogether is another conflict.
      fc.pre(outcome === 'conflict' && conflict!.targets.length === 2)
      for (const mend of conflict!.mends) {
        const kept = mend.target.startsWith('need') ? second : first
        const kind = mend.text.startsWith('need') ? 'need at least' : 'cost at most'
        expect(openSheet([head, kept, `must ${mend.text}`].join('\n')).solve().outcome).toBe('solved')
        const short = `must ${kind} ${mend.si - 0.01 * mend.by}`
        expect(openSheet([head, kept, short].join('\n')).solve().outcome).toBe('conflict')
      }
    }),
    { numRuns: 40 },
  )
})
