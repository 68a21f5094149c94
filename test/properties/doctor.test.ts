import fc from 'fast-check'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import type { Range, Target } from '../../solver/model/model.ts'
import { compile, foresee, start } from '../../solver/network/index.ts'
import { closedParts, lever, model, num, range, ref } from '../support/closed-flight.ts'
import { ALL, expressions } from '../support/expressions.ts'
import { meetsAll } from '../support/margins.ts'
import { rocket, statements } from '../support/rocket-sheet.ts'

// What is foreseen is held against settings that are tried one by one: a verdict must never be gainsaid by any of them.

const LOOKS = 150

/** Corners of the ranges first, then settings all over. The same ones each time. */
function* settingsOf(ranges: readonly Range[]): Generator<Float64Array> {
  for (let corner = 0; corner < 2 ** ranges.length; corner++)
    yield Float64Array.from(ranges, ({ from, to }, l) => ((corner >> l) & 1 ? to : from))
  let seed = 7
  // The generator of Lewis, Goodman and Miller (IBM Systems Journal, 1969).
  const next = (): number => {
    seed = (seed * 48271) % 2147483647
    return seed / 2147483647
  }
  for (let n = 0; n < LOOKS; n++)
    yield Float64Array.from(ranges, ({ from, to, settings }) =>
      settings ? settings[Math.floor(next() * settings.length)]! : Math.min(to, from + next() * (to - from)),
    )
}

const KINDS = ['at least', 'at most', 'within', 'equal within', 'equal to'] as const

const targets: fc.Arbitrary<Target> = fc
  .record({
    value: expressions(2, ALL, 3),
    kind: fc.constantFrom(...KINDS),
    limit: fc.oneof(
      fc.integer({ min: -40, max: 40 }).map(n => num(n / 4)),
      expressions(2, ALL, 1),
    ),
    width: fc.constantFrom(0.5, 4, 50),
  })
  .map(({ value, kind, limit, width }): Target => {
    const level = 'should'
    if (kind === 'within')
      return { level, value, limit: { kind, from: limit, to: { op: 'add', a: limit, b: num(width) } } }
    if (kind === 'equal within')
      return { level, value, limit: { kind: 'equal to', value: limit, tolerance: num(width) } }
    if (kind === 'equal to') return { level, value, limit: { kind, value: limit, tolerance: null } }
    return { level, value, limit: { kind, value: limit } }
  })

const ranges: fc.Arbitrary<readonly Range[]> = fc.array(
  fc
    .record({ from: fc.integer({ min: -12, max: 12 }), steps: fc.integer({ min: 1, max: 20 }), stepped: fc.boolean() })
    .map(({ from, steps, stepped }) => {
      const settings = Float64Array.from({ length: steps + 1 }, (_, k) => (from + k) / 4)
      return range(settings[0]!, settings[steps]!, stepped ? settings : null)
    }),
  { minLength: 2, maxLength: 2 },
)

test('no setting of a random sheet gainsays what is foreseen of its targets', () => {
  const counts = { always: 0, never: 0, open: 0 }
  fc.assert(
    fc.property(fc.array(targets, { minLength: 1, maxLength: 4 }), ranges, (asked, own) => {
      const quantities = own.map(({ from, to, settings }, l) => lever(`l${l}`, from, to, settings))
      const state = start(compile(model(quantities, { targets: asked }), closedParts()))
      const { verdicts, slots } = foresee(state, own)
      for (const verdict of verdicts) counts[verdict]++
      const wrong: unknown[] = []
      for (const x of settingsOf(own)) {
        state.evaluateAlgebra(x)
        verdicts.forEach((verdict, t) => {
          if (
            verdict !== 'open' &&
            meetsAll(state, [t], new Float64Array(asked.length).fill(1)) !== (verdict === 'always')
          )
            wrong.push([verdict, t, [...x]])
          const value = state.values[state.program.targets[t]!.value]!
          const slot = state.program.targets[t]!.value
          if (value < slots.low[slot]! || value > slots.high[slot]!)
            wrong.push([value, slots.low[slot], slots.high[slot]])
        })
      }
      expect(wrong).toEqual([])
    }),
    { numRuns: 700 },
  )
  expect(counts.always).toBeGreaterThan(80)
  expect(counts.never).toBeGreaterThan(200)
})

test('a sum that cancels is seen through', () => {
  const difference = { op: 'sub', a: { op: 'add', a: ref(0), b: ref(1) }, b: ref(0) } as const
  const own = [range(0, 10), range(2, 3)]
  const quantities = own.map(({ from, to }, l) => lever(`l${l}`, from, to))
  const asked: Target[] = [
    { level: 'must', value: difference, limit: { kind: 'at least', value: num(1) } },
    { level: 'must', value: difference, limit: { kind: 'at most', value: num(1) } },
    { level: 'must', value: difference, limit: { kind: 'within', from: num(1), to: num(4) } },
  ]
  const state = start(compile(model(quantities, { targets: asked }), closedParts()))
  expect(foresee(state, own).verdicts).toEqual(['always', 'never', 'always'])
})

const FIGURES = [
  ['liftoff ratio', '', 1, 0.1, 12],
  ['liftoff mass', 'kg', 1, 100, 1000],
  ['mass ratio', '', 1, 1, 6],
  ['propellant fraction', '%', 0.01, 5, 90],
  ['ideal delta v', 'm/s', 1, 200, 4000],
  ['total impulse', 'kN*s', 1000, 20, 1500],
  ['burn time', 's', 1, 2, 200],
] as const

/** A target as it is written, and when it is met: by the margin's own definition, for limits that are not zero. */
interface Wish {
  readonly text: string
  readonly met: (values: Readonly<Record<string, number>>) => boolean
}

const wish: fc.Arbitrary<Wish> = fc
  .record({
    figure: fc.constantFrom(...FIGURES),
    share: fc.integer({ min: 0, max: 100 }),
    kind: fc.constantFrom('at least', 'at most', 'within'),
    level: fc.constantFrom('must', 'should', 'could'),
  })
  .map(({ figure: [name, unit, si, from, to], share, kind, level }) => {
    const number = (k: number): number => Number((from * (to / from) ** (k / 100)).toPrecision(3))
    const [low, high] = [number(share), number(share + 40)]
    const limit = kind === 'within' ? `within ${low} ${unit} to ${high} ${unit}` : `${kind} ${low} ${unit}`
    const margin = (value: number): number => {
      if (kind === 'at least') return (value - low) / low
      if (kind === 'at most') return (low - value) / low
      return Math.min(value - low, high - value) / ((high - low) / 2)
    }
    return {
      text: `${level} ${name} ${limit}`.replace(/ +/g, ' ').trim(),
      met: values => margin(values[name]! / si) >= -1e-9,
    }
  })

const METS = /^(Every|No) setting in the levers' ranges meets this/
const ENDS = /^"(.*)" (below|above) (\S+) % never meets "(.*)"\.$/

test('no setting of a random rocket gainsays what a check says of its targets and ranges', () => {
  const counts = { Every: 0, No: 0, ends: 0 }
  const rockets = fc.record({
    it: rocket,
    wishes: fc.array(wish, { minLength: 1, maxLength: 5 }),
    steps: fc.boolean(),
    high: fc.boolean(),
  })
  fc.assert(
    fc.property(rockets, ({ it, wishes, steps, high }) => {
      const head = ['lever pad height from 0 m to 3 km', ...statements(it, false, steps)]
      const text = [
        ...head,
        ...(high ? ['  launch altitude = pad height'] : []),
        ...wishes.map(each => each.text),
      ].join('\n')
      const sheet = openSheet(text)
      const { problems, remarks } = sheet.check()
      expect(problems.filter(problem => problem.severity === 'error')).toEqual([])
      const first = text.split('\n').length - wishes.length + 1
      const told = problems.flatMap(({ line, message }) => {
        const word = METS.exec(message)?.[1] as 'Every' | 'No' | undefined
        return word ? [{ wish: wishes[line - first]!, word }] : []
      })
      const ends = remarks.flatMap(({ message }) => {
        const [, name, side, bound, target] = ENDS.exec(message) ?? []
        const wish = wishes.find(each => each.text === `must ${target}`)
        return wish ? [{ name: name!, side, bound: Number(bound) / 100, wish }] : []
      })
      counts.ends += ends.length
      for (const { word } of told) counts[word]++
      const share = range(0.3, 1, steps ? Float64Array.from({ length: 71 }, (_, k) => (30 + k) / 100) : null)
      for (const x of settingsOf([range(0, 3000), share, share])) {
        const setting = { 'pad height': x[0]!, 'fuel fraction': x[1]!, 'throttle cap': x[2]! }
        const values = sheet.at(setting)
        for (const { wish, word } of told)
          expect([wish.text, setting, wish.met(values)]).toEqual([wish.text, setting, word === 'Every'])
        for (const { name, side, bound, wish } of ends) {
          const value = setting[name as keyof typeof setting]
          if (side === 'below' ? value < bound : value > bound)
            expect([wish.text, setting, wish.met(values)]).toEqual([wish.text, setting, false])
        }
      }
    }),
    { numRuns: 60 },
  )
  expect(Math.min(counts.Every, counts.No, counts.ends)).toBeGreaterThan(1)
})
