import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { Answer } from '../../sheets/index.ts'
import { openSheet } from '../../sheets/index.ts'

const text = readFileSync('sheets/examples/heron.loft', 'utf8')
const heron = openSheet(text)
const si = (answer: Answer, name: string): number => answer.quantities[name]!.si as number

/** Every setting of the two levers with what a target may ask of it. */
const settings = Array.from({ length: 71 * 71 }, (_, i) => [30 + Math.floor(i / 71), 30 + (i % 71)] as const).map(
  ([load, cap]) => ({
    load,
    cap,
    values: heron.at({ 'fuel fraction': load / 100, 'throttle cap': cap / 100 }),
  }),
)
const meetsMusts = ({ values }: (typeof settings)[number]): boolean =>
  values['liftoff ratio']! >= 2 && values['peak g']! <= 6 * 9.80665 && values['max q']! <= 70e3
const inBand = ({ values }: (typeof settings)[number]): boolean =>
  values.apoapsis! >= 100e3 && values.apoapsis! <= 110e3

describe('the Heron sheet', () => {
  const answer = heron.solve()

  // Expected figures: an independent program (SciPy's DOP853 at 1e-13, restarted at layer edges) on the same equations.
  test('is solved at 92 % of the load and a cap of 61 %', () => {
    expect(answer.outcome).toBe('solved')
    expect([answer.quantities['fuel fraction']!.text, answer.quantities['throttle cap']!.text]).toEqual([
      '92 %',
      '61 %',
    ])
    expect(si(answer, 'throttle cap')).toBe(0.61)
    expect(si(answer, 'liftoff ratio')).toBeCloseTo(2.172157, 6)
    expect(si(answer, 'peak g') / 9.80665).toBeCloseTo(5.987376, 6)
    expect(si(answer, 'max q')).toBeCloseTo(59283.3, 1)
    // 100,092.1 m with no air above 86 km; the standard's thin upper air takes 0.11 m.
    expect(si(answer, 'apoapsis')).toBeCloseTo(100092.027, 2)
    expect(answer.aims[0]).toMatchObject({ text: 'least propellant mass', si: 276 })
  })

  test('says which targets are met, and which at their limits', () => {
    expect(answer.targets.map(({ met, atLimit }) => [met, atLimit])).toEqual([
      [true, false],
      [true, true],
      [true, false],
      [true, true],
    ])
  })

  test('agrees with every one of its 5,041 settings', () => {
    const meeting = settings.filter(meetsMusts)
    const wanted = meeting.filter(inBand)
    expect([settings.length, meeting.length, wanted.length]).toEqual([5041, 808, 14])
    const least = Math.min(...wanted.map(({ load }) => load))
    const best = wanted.filter(({ load }) => load === least)
    expect(best.map(({ load, cap }) => [load, cap])).toEqual([[92, 61]])
  })

  test('stays within 60 flights’ worth of work', () => {
    expect(answer.work.flights).toBeLessThanOrEqual(60)
  })

  test('gives the same bytes again', () => {
    const again = openSheet(text).solve()
    expect(JSON.stringify({ ...again, work: null })).toBe(JSON.stringify({ ...answer, work: null }))
  })

  // A general-purpose optimiser (SciPy's SLSQP over RK45) without the steps says 91.946 % and 61.179 %.
  test('without its steps is solved where a general optimiser finds it', () => {
    const free = openSheet(text.replaceAll(' in steps of 1 %', '')).solve()
    expect(free.outcome).toBe('solved')
    expect(si(free, 'fuel fraction')).toBeCloseTo(0.91946, 4)
    expect(si(free, 'throttle cap')).toBeCloseTo(0.61179, 4)
  })
})

describe('the Heron flight at 93 % and a cap of 55 %', () => {
  const flown = heron.fly({ set: { 'fuel fraction': '93 %', 'throttle cap': 0.55 } })

  // Expected: the independent program named above, with no air above 86 km.
  test('gives the figures of an independent integration', () => {
    const figure = (name: string): number => flown.figures[name] as number
    expect(flown.outcome).toBe('comes down')
    expect(figure('liftoff ratio')).toBeCloseTo(1.945269442, 9)
    expect(figure('peak g')).toBeCloseTo(54.06566837, 7)
    expect(figure('max q')).toBeCloseTo(50250.0137, 3)
    expect(figure('burnout speed')).toBeCloseTo(1185.462564, 5)
    expect(figure('burnout altitude')).toBeCloseTo(29894.0733, 3)
    // The thin air above 86 km takes 0.12 m.
    expect(Math.abs(figure('apoapsis') - 100442.098)).toBeLessThan(0.2)
  })

  test('is told over time, from ignition to touchdown', () => {
    const { columns, rows } = flown.history
    expect(columns.slice(0, 3)).toEqual(['time', 'altitude', 'speed'])
    for (const [i, row] of rows.entries()) if (i > 0) expect(row[0]!).toBeGreaterThan(rows[i - 1]![0]!)
    const highest = Math.max(...rows.map(row => row[1]!))
    expect(highest).toBeCloseTo(flown.figures.apoapsis as number, 3)
    expect(rows.at(-1)![1]).toBeCloseTo(0, 6)
    expect(flown.events.map(event => event.name)).toEqual([
      'ignition',
      'liftoff',
      'max q',
      'burnout',
      'space',
      'apoapsis',
      'space',
      'touchdown',
    ])
  })
})

describe('the Heron sheet with its band a must and a ceiling of 5 g0', () => {
  const hard = openSheet(
    text.replace('should apoapsis', 'must apoapsis').replace('at most  6 g0', 'at most  5 g0'),
  ).solve()

  test('is a conflict, with its closest compromise and what is short in it', () => {
    expect(hard.outcome).toBe('conflict')
    expect(settings.filter(it => meetsMusts(it) && inBand(it) && it.values['peak g']! <= 5 * 9.80665)).toEqual([])
    const worst = ({ values }: (typeof settings)[number]): number =>
      Math.max(
        0,
        (2 - values['liftoff ratio']!) / 2,
        (values['peak g']! - 5 * 9.80665) / (5 * 9.80665),
        (values['max q']! - 70e3) / 70e3,
        (100e3 - values.apoapsis!) / 5e3,
        (values.apoapsis! - 110e3) / 5e3,
      )
    const least = [...settings].sort((a, b) => worst(a) - worst(b))[0]!
    const compromise = hard.conflict!.compromise!
    expect([compromise.quantities['fuel fraction']!.text, compromise.quantities['throttle cap']!.text]).toEqual([
      `${least.load} %`,
      `${least.cap} %`,
    ])
    expect(hard.conflict!.targets).toEqual([
      'liftoff ratio at least 2',
      'peak g at most 5 g0',
      'apoapsis within 100 km to 110 km',
    ])
  })
})
