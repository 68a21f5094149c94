import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Answer, Sheet } from '../../sheets/index.ts'
import { openSheet } from '../../sheets/index.ts'
import { type Rocket, rocket, shift, statements } from '../support/rocket-sheet.ts'

/** Targets that the rocket's own setting meets with a little room, so that the sheet has a solution. */
function targetsAround(it: Rocket, room: number): readonly string[] {
  const values = openSheet(statements(it).join('\n')).at({ 'fuel fraction': it.load, 'throttle cap': it.cap })
  if (!(values['liftoff ratio']! > 1.05) || !Number.isFinite(values.apoapsis)) return []
  const q = values['max q']!
  return [
    `must liftoff ratio at least ${(values['liftoff ratio']! / (1 + room)).toPrecision(6)}`,
    `must peak g at most ${((values['peak g']! / 9.80665) * (1 + room)).toPrecision(6)} g0`,
    ...(q > 0 ? [`must max q at most ${((q / 1000) * (1 + room)).toPrecision(6)} kPa`] : []),
    `must apoapsis within ${(values.apoapsis! * (1 - room)).toPrecision(8)} m to ${(values.apoapsis! * (1 + room)).toPrecision(8)} m`,
  ]
}

const AIM = 'aim least propellant mass'

function settings(answer: Answer): Record<string, number> {
  return Object.fromEntries(
    Object.entries(answer.quantities).flatMap(([name, quantity]) =>
      quantity.role === 'lever' ? [[name, quantity.si as number]] : [],
    ),
  )
}

/** An answer without what may differ from run to run or with the order of lines. */
function essence(answer: Answer): unknown {
  const targets = [...answer.targets]
    .sort((a, b) => (a.text < b.text ? -1 : 1))
    .map(({ met, atLimit, margin, si }) => ({ met, atLimit, margin, si }))
  return { outcome: answer.outcome, settings: settings(answer), targets, aims: answer.aims.map(aim => aim.si) }
}

function solvable(
  it: Rocket,
  room: number,
): { sheet: Sheet; lines: readonly string[]; targets: readonly string[] } | null {
  const targets = targetsAround(it, room)
  if (targets.length === 0) return null
  const lines = [...statements(it), ...targets, AIM]
  return { sheet: openSheet(lines.join('\n')), lines, targets }
}

describe('a sheet of a rocket built around a known setting', () => {
  test('is solved, on its steps, and the answer re-flies to the same figures', () => {
    fc.assert(
      fc.property(rocket, it => {
        const made = solvable(it, 0.02)
        fc.pre(made !== null)
        const answer = made!.sheet.solve()
        expect(answer.outcome).toBe('solved')
        const found = settings(answer)
        for (const value of Object.values(found)) expect(value).toBe(Math.round(value * 100) / 100)
        expect(found['fuel fraction']!).toBeLessThanOrEqual(it.load)
        const again = made!.sheet.at(found)
        for (const [name, { si }] of Object.entries(answer.quantities)) {
          if (typeof si !== 'number') continue
          expect(Math.abs(again[name]! - si)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(si)))
        }
        for (const target of answer.targets) expect(target.met).toBe(true)
      }),
      { numRuns: 30 },
    )
  })

  test('answers the same whatever the order of its lines', () => {
    fc.assert(
      fc.property(rocket, fc.array(fc.nat(1000), { minLength: 24, maxLength: 24 }), (it, keys) => {
        const made = solvable(it, 0.03)
        fc.pre(made !== null)
        const shuffled = made!.lines
          .map((line, i) => [keys[i % keys.length]! * 100 + i, line] as const)
          .sort((a, b) => a[0] - b[0])
          .map(([, line]) => line)
        expect(essence(openSheet(shuffled.join('\n')).solve())).toEqual(essence(made!.sheet.solve()))
      }),
      { numRuns: 12 },
    )
  })

  test('answers the same in other units', () => {
    fc.assert(
      fc.property(rocket, it => {
        const made = solvable(it, 0.03)
        fc.pre(made !== null)
        const other = openSheet([...statements(it, true), ...made!.targets, AIM].join('\n'))
        expect(other.problems.filter(problem => problem.severity === 'error')).toEqual([])
        expect(essence(other.solve())).toEqual(essence(made!.sheet.solve()))
      }),
      { numRuns: 12 },
    )
  })

  test('never loses its solution when a must is loosened', () => {
    fc.assert(
      fc.property(rocket, fc.nat(3), (it, which) => {
        const made = solvable(it, 0.01)
        fc.pre(made !== null)
        const looser = made!.targets.map((target, t) => (t === which ? loosen(target) : target))
        const tight = made!.sheet.solve()
        const loose = openSheet([...statements(it), ...looser, AIM].join('\n')).solve()
        expect([tight.outcome, loose.outcome]).toEqual(['solved', 'solved'])
        expect(loose.aims[0]!.si as number).toBeLessThanOrEqual((tight.aims[0]!.si as number) * (1 + 1e-9))
      }),
      { numRuns: 12 },
    )
  })

  test('without steps is solved as well as at settings that are known', () => {
    const sheet = openSheet(`fact dry mass = 144 kg
fact full load = 100 kg
fact vacuum thrust = 7.1 kN
fact sea level thrust = 6.9 kN
fact specific impulse = 190 s
fact reference area = 0.043 m^2
fact drag coefficient = 0.33
lever fuel fraction from 30 % to 100 %
lever throttle cap from 30 % to 100 %
figure propellant mass = fuel fraction * full load
flight hop from Earth
must liftoff ratio at least 1.65674
must peak g at most 2.33970 g0
must max q at most 44.6980 kPa
must apoapsis within 13455.345 m to 14004.543 m
aim least propellant mass
`)
    const known = sheet.solve({ set: { 'fuel fraction': '83.1215223 %', 'throttle cap': '55.6412332 %' } })
    expect(known.targets.map(({ met }) => met)).toEqual([true, true, true, true])
    expect(sheet.solve().aims[0]!.si as number).toBeLessThanOrEqual((known.aims[0]!.si as number) * (1 + 1e-6))
  })

  test('without steps is solved too, at least as well', () => {
    fc.assert(
      fc.property(rocket, it => {
        const made = solvable(it, 0.02)
        fc.pre(made !== null)
        const free = openSheet([...statements(it, false, false), ...made!.targets, AIM].join('\n')).solve()
        expect(free.outcome).toBe('solved')
        expect(free.aims[0]!.si as number).toBeLessThanOrEqual((made!.sheet.solve().aims[0]!.si as number) * (1 + 1e-6))
      }),
      { numRuns: 12 },
    )
  })
})

function loosen(target: string): string {
  return target
    .replace(
      /(at least|at most) ([\d.]+)/,
      (_, side: string, limit: string) =>
        `${side} ${(Number(limit) * (side === 'at least' ? 0.95 : 1.05)).toPrecision(6)}`,
    )
    .replace(/within ([\d.e+]+) m to/, (_, low: string) => `within ${(Number(low) * 0.97).toPrecision(8)} m to`)
}

describe('the shift of a point', () => {
  test('moves digits without touching them', () => {
    expect(
      [shift('17.5', 3), shift('17.5', -3), shift('165', 3), shift('0.125', 0), shift('2.345', -2)].map(Number),
    ).toEqual([0.0175, 17500, 0.165, 0.125, 234.5])
  })
})
