import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
const idle = 'lever a from 0 kg to 9 kg in steps of 1 kg\nlever b from 0 to 1\nlever z from 0 to 1 in steps of 0.001\n'
const settings = (text: string): Record<string, string> =>
  Object.fromEntries(
    Object.entries(openSheet(text).solve().quantities).flatMap(([name, each]) =>
      each.role === 'lever' ? [[name, each.text]] : [],
    ),
  )

test('levers that nothing asked for hangs on rest in the middle of their ranges, the smaller of two, and cost no flights', () => {
  // The middle of 0 … 9 kg lies between two steps.
  expect(settings(heron + idle)).toEqual({ ...settings(heron), a: '4 kg', b: '0.5', z: '0.5' })
  const flights = (text: string): number => openSheet(text).solve().work.flights
  expect(flights(heron + idle)).toBeLessThan(flights(heron) + 2)
})

test('a lever that only a figure of no target hangs on is idle too, one in a limit is not', () => {
  const text =
    'lever x from 0 to 8 in steps of 1\nlever y from 0 to 8 in steps of 1\nfigure seen = y^2\nmust x at least 3\n'
  expect(settings(`${text}aim least x`)).toEqual({ x: '3', y: '4' })
  // Then roomiest: the limit that y moves is kept far away.
  expect(settings(`${text}must x at most 10 - 2 * y\naim least x`)).toEqual({ x: '3', y: '0' })
  expect(settings('lever x from 1 to 4\n')).toEqual({ x: '2.5' })
})

test('a conflict is explained as if they were not there', () => {
  const hard = heron.replace('6 g0', '4.2 g0').replace('should apoapsis', 'must   apoapsis')
  const [own, more] = [hard, hard + idle].map(text => openSheet(text).solve().conflict!)
  const told = (each: typeof own) =>
    each!.sets.map(({ targets, ranges, every, gap }) => ({ targets, ranges, every, gap }))
  expect(told(more)).toEqual(told(own))
  expect(more!.sets[0]!.mends[0]!.settings.a!.text).toBe('4 kg')
})
