import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Answer, openSheet } from '../../sheets/index.ts'
import { multipliers } from '../../solver/price/multipliers.ts'
import { wantedAt } from '../support/wanted.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
const payload = readFileSync('sheets/examples/payload.loft', 'utf8')
const lifted = (text: string): string => text.replace(/ in steps of [\d.]+ \S+/g, '')

/** What the first aim is worth with the steps lifted and one limit replaced. */
function aimWith(text: string, from: string, to: string): number {
  expect(text).toContain(from)
  const answer = openSheet(lifted(text.replace(from, to))).solve()
  expect(answer.outcome).toBe('solved')
  return answer.aims[0]!.si as number
}

function priceOf(answer: Answer, target: string): number {
  return answer.targets.find(each => each.text === target)!.price!.si
}

describe('prices agree with solving again with the limit moved, steps lifted', () => {
  test.each([
    ['Heron, peak g', heron, 'peak g at most 6 g0', 'at most  6 g0', 'at most  6.004 g0', 0.004 * 9.80665, 'least'],
    ['Heron, apoapsis', heron, 'apoapsis within 100 km to 110 km', 'within   100 km', 'within   99.8 km', 200, 'least'],
    ['payload, apoapsis', payload, 'apoapsis at least 100 km', 'at least 100 km', 'at least 99.8 km', 200, 'most'],
  ])('%s', (_, text, target, from, to, by, sense) => {
    const price = priceOf(openSheet(text).solve(), target)
    const moved = aimWith(text, from, to) - aimWith(text, from, from)
    expect(price).toBeGreaterThan(0)
    expect(((sense === 'least' ? -1 : 1) * moved) / by / price).toBeCloseTo(1, 1.7)
  })

  test('two limits of the most apoapsis', () => {
    const text = heron.replace(/aim.*/, 'aim most apoapsis').replace('to 110 km', 'to 140 km')
    const answer = openSheet(text).solve()
    const g =
      (aimWith(text, 'at most  6 g0', 'at most  6.02 g0') - aimWith(text, 'at most  6 g0', 'at most  6 g0')) /
      (0.02 * 9.80665)
    expect(priceOf(answer, 'peak g at most 6 g0') / g).toBeCloseTo(1, 1.7)
    const ratio = aimWith(text, 'at least 2', 'at least 1.99') - aimWith(text, 'at least 2', 'at least 2')
    expect(priceOf(answer, 'liftoff ratio at least 2') / (ratio / 0.01)).toBeCloseTo(1, 1.7)
  })

  test('of the roomiest, the smallest margin is what is gained', () => {
    const text = lifted(heron.replace(/aim.*/, '').replace('at most  6 g0', 'at most  5.66 g0'))
    const smallest = (sheet: string): number =>
      Math.min(
        ...openSheet(sheet)
          .solve()
          .targets.map(each => each.margin as number),
      )
    const answer = openSheet(text).solve()
    const priced = answer.targets.filter(each => each.price && each.price.si > 0)
    expect(priced.length).toBeGreaterThan(0)
    for (const { text: target, price } of priced) {
      const [from, to, by] = target.startsWith('peak g')
        ? ['at most  5.66 g0', 'at most  5.661 g0', 0.001 * 9.80665]
        : target.startsWith('liftoff')
          ? ['at least 2', 'at least 1.9996', 0.0004]
          : ['within   100 km', 'within   99.98 km', 20]
      expect(
        (smallest(text.replace(from as string, to as string)) - smallest(text)) / (by as number) / price!.si,
      ).toBeCloseTo(1, 1.5)
    }
  })

  // At 4 of 2 to 6 the margin is 1, and so it is in the middle of any wider band.
  test('of a band whose middle can be had, no wider one gains room', () => {
    const { price } = openSheet('lever x from 0 to 9 in steps of 3\nmust x within 2 to 6\n').solve().targets[0]!
    expect(price).toMatchObject({ si: 0, text: 'each 0.1 more of x at the upper end would win no room' })
  })

  test('algebra: the price of a limit is its multiplier, by hand', () => {
    // Least 2 x + 3 y with x + y ≥ 10 (taken at x = 6, the end of its range): one more of it costs 3.
    const answer = openSheet(
      'lever x from 0 to 6\nlever y from 0 to 20\nmust x + y at least 10\naim least 2 * x + 3 * y',
    ).solve()
    expect(priceOf(answer, 'x + y at least 10')).toBeCloseTo(3, 9)
    expect(answer.targets[0]!.price!.text).toBe('each 0.1 less of x + y would save 0.3 of 2 * x + 3 * y')
  })

  test('where another level decides there is no price, and none away from the limit', () => {
    const short = openSheet(heron.replace('100 km to 110 km', '120 km to 130 km')).solve()
    expect(short.targets.find(each => each.text.startsWith('apoapsis'))!.met).toBe(false)
    expect(short.targets.map(each => each.price)).toEqual([null, null, null, null])
    const wide = openSheet(heron)
      .solve()
      .targets.find(each => each.text.startsWith('max q'))!
    expect([wide.atLimit, wide.price]).toEqual([false, null])
  })
})

test('the next limit is the first at which another setting wins, against all settings', () => {
  const answer = openSheet(heron).solve()
  const next = answer.targets.find(each => each.text.startsWith('apoapsis'))!.price!.next!
  const wanted = wantedAt(heron)
  let highest = 0
  for (let load = 30; load < 92; load++)
    for (let cap = 30; cap <= 100; cap++) {
      const at = wanted({ 'fuel fraction': load / 100, 'throttle cap': cap / 100 })
      const others = at['liftoff ratio']! >= 2 && at['peak g']! <= 6 * 9.80665 && at['max q']! <= 70e3
      if (others && at.apoapsis! <= 110e3) highest = Math.max(highest, at.apoapsis!)
    }
  expect(next.si).toBeLessThanOrEqual(highest)
  expect(next.si).toBeGreaterThan(highest - 1e-3 * (100e3 - highest) - 1)
  const solved = openSheet(heron.replace('100 km to 110 km', next.text.replace('apoapsis within ', ''))).solve()
  expect(solved.quantities['fuel fraction']!.text).toBe(next.settings['fuel fraction']!.text)
})

test('sensitivities to levers and facts are the slopes of the targets', () => {
  const answer = openSheet(heron).solve()
  const levers = { 'fuel fraction': 0.92, 'throttle cap': 0.61 }
  const facts = Object.entries(answer.quantities).filter(([, quantity]) => quantity.role === 'fact')
  const names = [...Object.keys(levers), ...facts.map(([name]) => name)]
  const sheet = openSheet(heron)
  const values = (set: Record<string, number>): number[] =>
    sheet.solve({ set: { ...levers, ...set } }).targets.map(target => target.si as number)
  for (const name of names) {
    const at = answer.quantities[name]!.si as number
    const step = 1e-4 * at
    const [up, down] = [values({ [name]: at + step }), values({ [name]: at - step })]
    answer.targets.forEach((target, t) => {
      const slope = target.sensitivities[name] as number
      const size = Math.abs(target.si as number) / at
      expect(Math.abs(slope - (up[t]! - down[t]!) / (2 * step)), `${target.text} by ${name}`).toBeLessThan(1e-4 * size)
    })
  }
})

describe('the fact that matters most', () => {
  test('is weighed by its own error where it has one, else by 1 %', () => {
    const text = (error: string): string =>
      `fact a = 10 kg${error}\nfact b = 10 kg\nlever x from 0 kg to 5 kg\nmust a + 3 * b + x at most 50 kg`
    const plain = openSheet(text('')).solve().decides!
    expect([plain.fact, plain.given, plain.error]).toEqual(['b', false, 0.1])
    const known = openSheet(text(' ± 5 %')).solve()
    expect([known.decides!.fact, known.decides!.given, known.decides!.change]).toEqual(['a', true, 0.5])
    expect(known.decides!.text).toBe('The fact that matters most is a: its ± 0.5 kg moves a + 3 * b + x by 0.5 kg.')
    expect(known.quantities.a!.error).toBe(0.5)
    expect(openSheet(text(' ± 200 g')).solve().quantities.a!.error).toBe(0.2)
    expect(openSheet('fact share = 80 % ± 5 %\nmust share at least 70 %').solve().quantities.share!.error).toBeCloseTo(
      0.04,
      15,
    )
  })

  test('is none where no fact moves a target', () => {
    expect(openSheet('lever x from 0 to 5\nmust x at least 2').solve().decides).toBe(null)
  })
})

test('the next limit of a target is the same whichever others were asked about before', () => {
  const asked = (order: readonly number[]) => {
    const { targets } = openSheet(heron).solve()
    const next = order.map(t => [t, targets[t]!.price?.next ?? null] as const)
    return next.sort((a, b) => a[0] - b[0])
  }
  const forward = asked([0, 1, 2, 3])
  expect(forward.some(([, next]) => next !== null)).toBe(true)
  expect(asked([3, 2, 1, 0])).toEqual(forward)
  expect(asked([1])).toEqual([forward[1]])
})

test('multipliers are those of the best subset of columns', () => {
  const column = fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 3, maxLength: 3 })
  fc.assert(
    fc.property(fc.array(column, { minLength: 1, maxLength: 5 }), column, (rows, goal) => {
      const columns = rows.map(row => Float64Array.from(row))
      const { of } = multipliers(columns, Float64Array.from(goal))
      const rest = (weights: ArrayLike<number>): number[] =>
        goal.map((value, i) => value - columns.reduce((sum, each, j) => sum + weights[j]! * each[i]!, 0))
      const left = rest(of)
      // The conditions of Karush, Kuhn and Tucker: no column would help, none that is used leans on what is left.
      expect([...of].every(weight => weight >= 0)).toBe(true)
      columns.forEach((each, j) => {
        const gain = each.reduce((sum, value, i) => sum + value * left[i]!, 0)
        expect(gain).toBeLessThan(1e-6)
        if (of[j]! > 1e-9) expect(Math.abs(gain)).toBeLessThan(1e-6)
      })
    }),
    { numRuns: 500 },
  )
})

test('a lever that nothing hangs on changes no price', () => {
  const prices = (text: string) =>
    openSheet(text)
      .solve()
      .targets.map(({ text: target, price }) => [target, price?.si])
  const idle = heron.replace(
    'lever fuel fraction',
    'lever ballast from 0 kg to 5 kg in steps of 1 kg\nlever fuel fraction',
  )
  expect(idle).not.toBe(heron)
  expect(prices(idle)).toEqual(prices(heron))
})

test('the settings told for the next limit are those that win there: of all that need it, the best by the aim', () => {
  const range = 'from 0 kg to 20 kg in steps of 1 kg'
  const head = `lever a ${range}\nlever b ${range}\n`
  let looked = 0
  for (const [p, q] of [
    [2, 3],
    [3, 5],
    [1, 1],
    [4, 7],
  ])
    for (const need of ['15.5', '21.5', '9.5']) {
      const sheet = `${head}must a + 2 * b at least ${need} kg\nmust b at most 4.5 kg\naim least ${p} * a + ${q} * b\n`
      for (const { text, price } of openSheet(sheet).solve().targets) {
        if (!price?.next) continue
        const again = openSheet(sheet.replace(text, price.next.text)).solve()
        const at = (name: string): number => price.next!.settings[name]!.si as number
        expect([price.next.text, p! * at('a') + q! * at('b')]).toEqual([price.next.text, again.aims[0]!.si])
        looked++
      }
    }
  expect(looked).toBeGreaterThan(15)
})

test('a limit that another holds as well is worth nothing alone, and one at a corner what the others let go', () => {
  const gains = (text: string) =>
    openSheet(text)
      .solve()
      .targets.map(({ price }) => price?.si)
  const twice = heron.replace('should apoapsis', 'must apoapsis at least 100 km\nshould apoapsis')
  expect(twice).not.toBe(heron)
  expect(gains(twice).slice(-2)).toEqual([0, 0])
  // Source: by hand. Three limits of two levers meet at (6, 4). Without x + y the places (14 − 2y, y) cost 28 − y: it alone saves 1 a unit;
  // without either of the others the cheapest place stays.
  const corner = `lever x from 0 to 20\nlever y from 0 to 20\nmust x + y at least 10\nmust x + 2 * y at least 14\nmust y at least 4\naim least 2 * x + 3 * y\n`
  expect(gains(corner).map(gain => Number(gain!.toFixed(4)))).toEqual([1, 0, 0])
  // A lever at the end of its range holds what a limit on it lets go.
  expect(gains('lever x from 2 to 5\nlever y from 0 to 1\nmust x + y at least 2\naim least x + 2 * y\n')).toEqual([0])
})

test('with no other aim a limit is worth what the smallest margin gains, though margins count in the limit itself', () => {
  let priced = 0
  for (const [text, limit] of [
    ['lever x from 0 to 20\nmust x at least 10\nmust x at most 14\n', 10],
    ['lever x from 0 to 20\nmust x at most 14\nmust x at least 10\n', 14],
    ['lever x from 0 to 20\nmust x within 10 to 14\nmust x at most 13\n', 10],
    ['lever x from 0 to 20\nmust x equal to 10 ± 4\nmust x at least 11\n', 4],
  ] as const) {
    const room = (sheet: string): number =>
      Math.min(
        ...openSheet(sheet)
          .solve()
          .targets.map(target => target.margin as number),
      )
    const stepped = text.replace('to 20', 'to 18 in steps of 3')
    const price = openSheet(stepped).solve().targets[0]!.price
    const outward = text.startsWith('lever x from 0 to 20\nmust x at most') || text.includes('±') ? 1 : -1
    const change = 1e-3
    const moved = text.replace(new RegExp(`\\b${limit}\\b`), String(limit + outward * change))
    if (!price) continue
    priced++
    expect([text, price.si]).toEqual([text, expect.closeTo((room(moved) - room(text)) / change, 3)])
  }
  expect(priced).toBe(4)
})

test('the settings told for the next limit are those that the sheet has with it, whatever else counts', () => {
  // Source: the sheet itself with that limit. In the first a could is met either way and has no margin that counts; in the second
  // the should chooses b by how far off it is.
  for (const sheet of [
    `lever a from -1 to 3 in steps of 1\nlever b from 4 to 7.5 in steps of 0.5\nlever c from 2 to 4 in steps of 0.5
must c within 3.5 to 4.102\ncould sqrt(abs(a) + 2.99) + 4.26 * b at least 29.9\naim least c\n`,
    `lever b from 1 to 1.6 in steps of 0.1\nlever c from 2 to 6 in steps of 1
must c^2 + c at least 31\nshould b equal to 1.3 ± 0.4\naim least c\naim most b\n`,
  ]) {
    const next = openSheet(sheet).solve().targets[0]!.price!.next!
    const again = openSheet(sheet.replace(/^must .*$/m, `must ${next.text}`)).solve()
    const settings = Object.keys(next.settings).map(name => [name, again.quantities[name]!.text])
    expect(Object.entries(next.settings).map(([name, { text }]) => [name, text])).toEqual(settings)
  }
  // Nearer 235 comes before the aim, and c stays.
  const held = `lever a from 0 to 1.8 in steps of 0.1\nlever c from 4 to 10 in steps of 1
must 3.43 * c^2 + 3.63 * a at least 223\nshould 3.43 * c^2 + 3.63 * a equal to 220 ± 79\naim least c\n`
  expect(openSheet(held).solve().targets[0]!.price?.next ?? null).toBe(null)
})
