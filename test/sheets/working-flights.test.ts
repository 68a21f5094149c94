import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { openSheet, type WorkingStep } from '../../sheets/index.ts'
import { checkRelations, relationsOf } from '../support/relations.ts'

const heron = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8'))

// Lit on the way up, after the highest point, so late that it lands burning, and not at all: peaks and losses are counted otherwise each time.
describe('two stages, the second lit later and later', () => {
  const sheet = openSheet(`
lever wait from 0 s to 120 s
flight climb from Earth
  stage booster
    dry mass         = 100 kg
    propellant mass  = 100 kg
    vacuum thrust    = 9.1 kN
    sea level thrust = 8 kN
    specific impulse = 235 s
    diameter         = 0.35 m
    drag coefficient = 0.5
  stage dart
    dry mass         = 71 kg
    propellant mass  = 20 kg
    vacuum thrust    = 4 kN
    specific impulse = 262 s
    diameter         = 0.22 m
    drag coefficient = 0.4
    ignition delay   = wait
must wait at most 100 s
`)
  const all = 'ideal delta v of booster + ideal delta v of dart'
  test.each([
    [2, 'comes down', 'ideal delta v'],
    [45, 'comes down', 'ideal delta v'],
    [90, 'comes down', 'ideal delta v of booster'],
    [120, 'comes down', 'ideal delta v of booster'],
  ])('after %d s', (wait, outcome, whole) => {
    const set = { wait }
    expect(sheet.fly({ set }).outcome).toBe(outcome)
    const told = (name: string): WorkingStep => sheet.working(name, { set, deep: 0 }).steps[0]!
    for (const name of ['max q', 'max mach', 'ideal delta v', 'max speed', 'peak g'])
      checkRelations(sheet.working(name, { set, deep: 0 }))
    expect(relationsOf(told('max q'))).toHaveLength(1)
    expect(relationsOf(told('ideal delta v'))[0]!.relation).toBe(all)
    const sum = told('drag loss').parts[0] as Extract<WorkingStep['parts'][number], { kind: 'sum' }>
    expect(sum.whole.name).toBe(whole)
    const parts = sum.parts.reduce((total, { si }) => total + (si as number), 0)
    expect(parts / (sum.whole.si as number)).toBeCloseTo(1, 9)
    expect(told('burnout altitude').parts[0]).toMatchObject({ kind: 'moment', name: 'burnout' })
  })
})

describe('flights that go another way', () => {
  const told = (set: Record<string, string>, name: string): WorkingStep =>
    heron.working(name, { set: { 'throttle cap': '30 %', 'fuel fraction': '100 %', ...set }, deep: 0 }).steps[0]!

  test('one that never leaves the pad says so', () => {
    expect(told({ 'dry mass': '1650 kg' }, 'peak g').parts).toEqual([
      { kind: 'note', text: 'it never leaves the pad: the rider feels the local gravity and no more' },
    ])
    expect(told({ 'dry mass': '1650 kg' }, 'drag loss').parts[0]).toMatchObject({ kind: 'note' })
  })

  test('one that escapes names the speed that takes', () => {
    const step = told({ 'dry mass': '1 kg', 'reference area': '0.00001 m^2' }, 'apoapsis')
    expect(step.si).toBe('infinity')
    expect(step.parts[0]).toMatchObject({ kind: 'note' })
    expect(JSON.stringify(step.parts)).toContain('beyond the 10,982 m/s that escape takes there')
  })

  // Thousand million settings, far more than are tried one by one, and no proof by intervals.
  test('a sheet of which nobody knows is told at the closest that was tried', () => {
    const unsure = openSheet(`
lever a from 0 to 1 in steps of 0.001
lever b from 0 to 1 in steps of 0.001
lever c from 0 to 1 in steps of 0.001
figure f = sin(90 * a) * sin(70 * b) * sin(80 * c)
must f at least 0.999999
must f * b at most 0.03
`)
    const { outcome } = unsure.solve()
    const working = unsure.working('f', { deep: 'all' })
    expect([outcome, working.outcome]).toEqual(['unsure', 'unsure'])
    expect(checkRelations(working)).toBe(1)
    expect(Object.keys(working.settings)).toEqual(['a', 'b', 'c'])
  })

  test('a faulty sheet gives its problems', () => {
    const working = openSheet('figure a = b').working('a')
    expect(working).toMatchObject({ outcome: 'faulty', steps: [], settings: {} })
    expect(working.problems).toHaveLength(1)
  })
})
