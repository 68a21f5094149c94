import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { tidy } from '../../grammar/tidy.ts'
import type { Answer } from '../../sheets/index.ts'
import { openSheet } from '../../sheets/index.ts'

const folder = 'sheets/examples/'
const names = readdirSync(folder).filter(name => name.endsWith('.loft'))
const read = (name: string): string => readFileSync(folder + name, 'utf8')
const si = (answer: Answer, name: string): number => answer.quantities[name]!.si as number

describe('the example sheets', () => {
  test('are at least six', () => expect(names.length).toBeGreaterThanOrEqual(6))

  test.each(names)('%s is in order, tidy, and solved with every must met', name => {
    const text = read(name)
    const sheet = openSheet(text, { name })
    expect(sheet.problems).toEqual([])
    expect(tidy(text).text).toBe(text)
    const answer = sheet.solve()
    expect(answer.outcome).toBe('solved')
    expect(answer.targets.length).toBeGreaterThan(0)
    for (const target of answer.targets) expect(target.met).toBe(true)
  })
})

describe('the lesson on paper', () => {
  // By hand: cap = 1.35 × 5.2 t × 9.8 N/kg / 140 kN = 49.14 %; empty ratio = that thrust / (2.1 t × 9.8 N/kg).
  test('comes out as by hand', () => {
    const answer = openSheet(read('thrust-lesson.loft')).solve()
    expect(answer.quantities['thrust cap']!.text).toBe('49.14 %')
    expect(si(answer, 'empty ratio')).toBeCloseTo((1.35 * 5.2) / 2.1, 8)
  })
})

describe('the calibration', () => {
  test('finds the drag coefficient at which the flight tops out where it was seen', () => {
    const sheet = openSheet(read('calibration.loft'))
    const answer = sheet.solve()
    expect(Math.abs(si(answer, 'apoapsis') - 9410)).toBeLessThan(9410e-6)
    const coefficient = si(answer, 'drag coefficient')
    const apoapsis = (cd: number): number => sheet.at({ 'drag coefficient': cd }).apoapsis!
    expect(apoapsis(coefficient - 1e-4)).toBeGreaterThan(9410)
    expect(apoapsis(coefficient + 1e-4)).toBeLessThan(9410)
  })
})

describe('the payload', () => {
  test('is the heaviest of all that still reach space', () => {
    const sheet = openSheet(read('payload.loft'))
    const most = si(sheet.solve(), 'payload')
    const fits = (payload: number): boolean =>
      Array.from({ length: 71 }, (_, k) => sheet.at({ payload, 'throttle cap': (30 + k) / 100 })).some(
        v => v['liftoff ratio']! >= 2 && v['peak g']! <= 6.5 * 9.80665 && v['max q']! <= 90e3 && v.apoapsis! >= 100e3,
      )
    expect(fits(most)).toBe(true)
    for (let heavier = most + 0.5; heavier <= 120; heavier += heavier < most + 8 ? 0.5 : 3)
      expect(fits(heavier)).toBe(false)
  })
})

describe('thrust over weight by common practice (no source)', () => {
  const ratio = (mass: string, thrust: string): string =>
    `fact mass = ${mass}\nfact thrust = ${thrust}\nfact local gravity = 9.8 N/kg\nfigure ratio = thrust / (mass * local gravity)`
  const figure = (text: string): number => openSheet(text).solve().quantities.ratio!.si as number

  test('is 2.97 for 8.6 t under 250 kN, 12.5 for 300 kN on what is left of it, and 1.39 and 4.6 for a capped motor', () => {
    expect(figure(ratio('8.6 t', '250 kN'))).toBeCloseTo(2.97, 2)
    expect(figure(ratio('8.6 t - 6.15 t', '300 kN'))).toBeCloseTo(12.5, 1)
    expect(figure(ratio('6.8 t', '0.37 * 250 kN'))).toBeCloseTo(1.39, 2)
    expect(figure(ratio('2.45 t', '0.37 * 300 kN'))).toBeCloseTo(4.6, 1)
  })

  test('asked backwards for the cap that gives 1.39 at 6.8 t, answers 37.05 %', () => {
    const text =
      'fact mass = 6.8 t\nfact full thrust = 250 kN\nfact local gravity = 9.8 N/kg\nlever cap from 10 % to 100 %\nfigure ratio = cap * full thrust / (mass * local gravity)\nmust ratio equal to 1.39'
    const answer = openSheet(text).solve()
    expect(answer.outcome).toBe('solved')
    expect(si(answer, 'cap')).toBeCloseTo(0.3705, 4)
    expect(si(answer, 'ratio')).toBeCloseTo(1.39, 6)
  })
})

describe('the crewed hop', () => {
  const sheet = openSheet(read('crewed-hop.loft'))
  const answer = sheet.solve()

  test('comes down softly, under the smallest parachute that does', () => {
    expect(answer.flights).toEqual({ hop: 'comes down' })
    // Terminal speed, Knacke, NWC TP 6575, ch. 5: v² = 2 m g/(ρ C S), of both canopies and the capsule.
    const area = 0.8 * si(answer, 'main area') + (1.3 * Math.PI * 1.5 ** 2) / 4
    const balance = Math.sqrt((2 * 650 * 9.80665) / (1.225 * area))
    expect(si(answer, 'touchdown speed') / balance).toBeCloseTo(1, 2)
    const smaller = sheet.at({
      'fuel fraction': si(answer, 'fuel fraction'),
      'booster cap': si(answer, 'booster cap'),
      'main area': si(answer, 'main area') - 5,
    })
    expect(smaller['touchdown speed']!).toBeGreaterThan(8.5)
  })

  test('tells its flight to the ground', () => {
    const { events, history } = sheet.fly({
      set: { 'fuel fraction': '90 %', 'booster cap': '60 %', 'main area': '180 m^2' },
    })
    const names = events.map(event => event.name)
    for (const name of [
      'liftoff',
      'burnout of booster',
      'drop of booster',
      'apoapsis',
      'opening of drogue',
      'opening of main',
      'touchdown',
    ])
      expect(names).toContain(name)
    const [altitude, time] = [history.columns.indexOf('altitude'), history.columns.indexOf('time')]
    expect(history.rows.at(-1)![altitude]!).toBeCloseTo(0, 6)
    for (let k = 1; k < history.rows.length; k++)
      expect(history.rows[k]![time]!).toBeGreaterThan(history.rows[k - 1]![time]!)
  })
})

describe('the range limit', () => {
  test('lands just inside the fence', () => {
    const answer = openSheet(read('range-limit.loft')).solve()
    expect(si(answer, 'downrange')).toBeLessThanOrEqual(6000 * (1 + 1e-9))
    expect(answer.targets.find(target => target.text.startsWith('downrange at most'))!.met).toBe(true)
  })
})
