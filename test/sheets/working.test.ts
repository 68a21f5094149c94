import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import {
  openSheet,
  type Sheet,
  type WorkingAnswer,
  type WorkingRelation,
  type WorkingStep,
} from '../../sheets/index.ts'
import { checkRelations, plain, relationsOf } from '../support/relations.ts'

const example = (name: string): Sheet => openSheet(readFileSync(`sheets/examples/${name}.loft`, 'utf8'))
const heron = example('heron')

const step = (working: WorkingAnswer, name: string): WorkingStep => working.steps.find(each => each.name === name)!

describe('every number put in gives back the result', () => {
  for (const file of readdirSync('sheets/examples').filter(name => name.endsWith('.loft'))) {
    test(`for all quantities and targets of ${file}, down to the facts`, () => {
      const sheet = example(file.replace('.loft', ''))
      const { quantities, targets, outcome } = sheet.solve()
      expect(outcome).toBe('solved')
      const levers = Object.entries(quantities).filter(([, { role }]) => role === 'lever')
      const set = Object.fromEntries(levers.map(([name, { si }]) => [name, si as number]))
      const names = [
        ...Object.keys(quantities).filter(name => !name.includes(' of ')),
        ...targets.map(({ text }) => text),
      ]
      let relations = 0
      for (const name of names) relations += checkRelations(sheet.working(name, { set, deep: 0 }))
      relations += checkRelations(sheet.working(targets.at(-1)!.text, { set, deep: 'all' }))
      expect(relations).toBeGreaterThan(2)
    })
  }

  // Levers spread over their ranges: peaks inside the burn, at its end, just after it and in the coast.
  test('wherever the peaks come', () => {
    const phases = new Set<string>()
    for (const load of [0.3, 0.4, 0.6, 0.8, 1])
      for (const [cap, dry] of [
        [0.35, 165],
        [0.5, 165],
        [0.85, 165],
        [1, 165],
        [1, 40],
      ] as const) {
        const set = { 'fuel fraction': load, 'throttle cap': cap, 'dry mass': dry }
        for (const name of ['peak g', 'max q', 'max mach', 'apoapsis']) {
          const working = heron.working(name, { set, deep: 2 })
          expect(working.outcome).toBe('pinned')
          checkRelations(working)
          for (const part of working.steps[0]!.parts) if (part.kind === 'moment') phases.add(`${name} ${part.words}`)
        }
      }
    expect([...phases].sort()).toEqual([
      'apoapsis in the coast',
      'max mach at the end of the burn',
      'max mach in the coast',
      'max q at the end of the burn',
      'max q during the burn',
      'peak g at the end of the burn',
      'peak g during the burn',
      'peak g just after the burn',
    ])
  })
})

describe('the Heron sheet', () => {
  // By hand: 0.61 · 15.4 kN over 441 kg · 9.80665 m/s².
  test('has its liftoff ratio worked out from thrust, mass and gravity', () => {
    const working = heron.working('liftoff ratio', { deep: 'all' })
    expect(working.outcome).toBe('solved')
    expect(relationsOf(working.steps[0]!)[0]).toMatchObject({
      relation: 'thrust on the pad / (liftoff mass × gravity on the pad)',
      numbers: '9.394 kN / (441 kg × 9.80665 m/s^2)',
      result: '2.172',
    })
    expect(step(working, 'full load')).toMatchObject({
      kind: 'fact',
      si: 300,
      line: 4,
      description: 'propellant, tanks filled to the top',
    })
    expect(Math.max(...working.steps.map(({ depth }) => depth))).toBe(3)
  })

  // Burnout at 93 % and 55 %: an independent program (SciPy's DOP853 at 1e-13) on the same equations.
  test('has its peak g at burnout, where all propellant is burnt', () => {
    const working = heron.working('peak g', { set: { 'fuel fraction': '93 %', 'throttle cap': '55 %' } })
    const moment = working.steps[0]!.parts[0]!
    expect(moment).toMatchObject({ kind: 'moment', words: 'at the end of the burn' })
    if (moment.kind !== 'moment') return
    const values = Object.fromEntries(moment.values.map(({ name, si }) => [name, si as number]))
    expect(values.altitude).toBeCloseTo(29894.0733, 3)
    expect(values.speed).toBeCloseTo(1185.462564, 5)
    // 279 kg burn at 0.55 · 17.5 kN over 242 s · g0 a second.
    expect(values.time).toBeCloseTo((279 * 242 * 9.80665) / (0.55 * 17500), 9)
    expect(step(working, 'mass at peak g').si).toBe(165)
  })

  test('has losses that add up to the ideal delta v as printed', () => {
    for (const cap of ['45 %', '61 %', '73 %', '100 %']) {
      const { steps } = heron.working('ideal delta v', { set: { 'throttle cap': cap, 'fuel fraction': '92 %' } })
      const sum = steps[0]!.parts.find(part => part.kind === 'sum')!
      if (sum.kind !== 'sum') continue
      const number = (text: string): number => Math.round(Number(plain(text).split(' ')[0]) * 1e6)
      const total = (texts: readonly string[]): number => texts.reduce((all, text) => all + number(text), 0)
      expect(total(sum.parts.map(({ text }) => text))).toBe(number(sum.whole.text))
      expect(total(sum.parts.map(({ share }) => share))).toBe(100e6)
    }
  })

  test('names the targets that hold a lever, both ways', () => {
    expect(heron.working('throttle cap').steps[0]!.held).toEqual([
      { way: 'up', by: 'target', text: 'apoapsis within 100 km to 110 km' },
      { way: 'down', by: 'target', text: 'peak g at most 6 g0' },
    ])
    expect(heron.working('throttle cap', { set: { 'throttle cap': '61 %' } }).steps[0]).toMatchObject({
      held: [],
      pinned: true,
    })
  })

  test('shows the margin of a target asked for by its text, its level or not', () => {
    for (const text of ['peak g at most 6 g0', 'must peak g at most 6 g0']) {
      const working = heron.working(text)
      expect(relationsOf(working.steps[0]!)[0]).toMatchObject({
        gives: 'margin',
        relation: '(limit − peak g) / limit',
        numbers: '(6 g0 − 5.98738 g0) / 6 g0',
      })
      expect(working.targets[0]!.margin).toBeCloseTo((6 - 5.987376) / 6, 6)
    }
  })

  test('suggests the nearest name for one that it does not know', () => {
    const working = heron.working('peak gs')
    expect(working).toMatchObject({ outcome: 'faulty', steps: [] })
    expect(working.problems[0]).toMatchObject({ mend: 'Did you mean "peak g"?' })
    expect(heron.working('hop').problems[0]!.message).toBe('"hop" is a flight; ask for one of its figures.')
  })

  test('needs no search where every lever is set, or none matters', () => {
    const set = { 'throttle cap': '40 %', 'fuel fraction': '50 %' }
    expect(heron.working('apoapsis', { set }).outcome).toBe('pinned')
    expect(heron.working('dry mass').outcome).toBe('known')
  })

  test('is told at its closest compromise where it is in conflict', () => {
    const text = heron.text.replace('should apoapsis', 'must apoapsis').replace('at most  6 g0', 'at most  5 g0')
    const working = openSheet(text).working('throttle cap')
    expect(working).toMatchObject({ outcome: 'conflict', middle: false })
    expect(working.settings['throttle cap']!.text).toBe('53 %')
    expect(working.steps[0]!.held.map(({ way, text: by }) => `${way} ${by}`)).toEqual([
      'up liftoff ratio at least 2',
      'down peak g at most 5 g0',
    ])
    expect(checkRelations(openSheet(text).working('peak g', { deep: 'all' }))).toBe(5)
  })

  test('is plain data', () => {
    const working = heron.working('apoapsis', { deep: 'all' })
    expect(JSON.parse(JSON.stringify(working))).toEqual(working)
    expect(heron.working('apoapsis', { deep: 'all' })).toEqual(working)
  })
})

describe('a sheet of odds and ends', () => {
  const odd = openSheet(`
fact  a = 3 m ± 5 %       # known so
fact  b = 2 * a
fact  t = 20 degC
lever k from 0 to 1
table lift of angle
  0 deg  0.1
  10 deg 0.9
  20 deg 0.8
figure c = if a > b and not k > 0.9 then sqrt(a * b) else max(a, b, -b) ^ 2 / b
figure d = lift(k * 15 deg) * a
figure e = air pressure(k * 1 km) of Earth / (1 kPa - k * 0.5 kPa) ^ 2
figure f = -a + t / (1 K) * 1 m
figure z = 1 / (k - k)
must 2 * c at least 1 m
`)
  const at = (name: string) => odd.working(name, { set: { k: 0.5 } })
  const only = (name: string): WorkingRelation => relationsOf(at(name).steps[0]!)[0]!

  test('says which way a condition goes, and puts numbers into that way only', () => {
    expect(only('c')).toMatchObject({
      relation: 'if a > b and not k > 0.9 then sqrt(a × b) else max(a, b, −b)^2 / b',
      notes: ['3 m > 6 m and not 0.5 > 0.9 does not hold: the way after "else"'],
      numbers: 'max(3 m, 6 m, −6 m)^2 / 6 m',
    })
    expect(at('c').steps[0]!.from).toEqual(['a', 'b', 'k'])
  })

  // At 7.5 deg the curve has 0.8 or so; the rows beside it are the sheet's own.
  test('shows the rows beside a value that a table gives, and the row or end itself', () => {
    expect(only('d').notes[0]).toMatch(
      /^lift\(0\.5 × 15 deg\) = 0\.\d{4}: between the rows 0 deg gives 0\.1 and 10 deg gives 0\.9$/,
    )
    const held = odd.working('d', { set: { k: 1, a: '1 m' } })
    expect(relationsOf(held.steps[0]!)[0]!.notes[0]).toMatch(
      /between the rows 10 deg gives 0\.9 and 20 deg gives 0\.8$/,
    )
    expect(step(held, 'a').parts).toEqual([{ kind: 'note', text: 'set to this in place of 3 m' }])
  })

  // 95,461 Pa at 500 m: U.S. Standard Atmosphere 1976, table I.
  test('says where air comes from', () => {
    expect(only('e').notes).toEqual(['air pressure(0.5 × 1 km) of Earth = 95.46 kPa, by the 1976 standard atmosphere'])
  })

  test('reckons with kelvins where a thermometer was read', () => {
    expect(only('f').numbers).toBe('−3 m + 293.15 K / 1 K × 1 m')
    expect(at('t').steps[0]!.text).toBe('20 degC')
  })

  test('tells why there is no value', () => {
    expect(at('z').steps[0]).toMatchObject({ si: null, reason: 'a division by zero' })
    expect(only('z').numbers).toBe('1 / (0.5 − 0.5)')
  })

  test('gives a target on an expression by what it limits', () => {
    const working = at('2 * c')
    expect(working.steps[0]).toMatchObject({ name: '2 * c at least 1 m', kind: 'target', si: 12 })
    expect(checkRelations(working)).toBeGreaterThan(2)
  })

  test('gives every relation back', () => {
    let count = 0
    for (const name of ['c', 'd', 'e', 'f', '2 * c at least 1 m']) count += checkRelations(at(name))
    expect(count).toBeGreaterThan(5)
  })

  test('of thousands of figures in a chain is told to the facts', () => {
    const lines = Array.from({ length: 3000 }, (_, i) => `figure f${i + 1} = f${i} + 1`)
    const working = openSheet(['fact f0 = 1', ...lines].join('\n')).working('f3000', { deep: 'all' })
    expect(working.steps).toHaveLength(3001)
    expect(working.steps.at(-1)!.name).toBe('f0')
  })
})

test('a margin follows from the numbers that are put in, near a limit as well', () => {
  let near = 0
  for (const { text, margin } of heron.solve().targets) {
    const part = heron.working(text).steps[0]!.parts.find(each => each.kind === 'relation' && each.gives === 'margin')
    // All numbers of a margin are in one unit, which cancels.
    const numbers = (part as WorkingRelation).numbers.replace(/(?<=\d) (g0|kPa|km)/g, '').replaceAll('−', '-')
    expect(numbers).toMatch(/^[-+/()\d. ]+$/)
    const own = openSheet(`figure own = ${numbers}\n`).at({}).own!
    expect(Math.abs(own / (margin as number) - 1)).toBeLessThan(1e-3)
    if ((margin as number) < 0.02) near++
  }
  expect(near).toBe(2)
})

test('values that nearly cancel are put in with as many figures as what is left of them needs', () => {
  const sheet = openSheet(
    'fact k = 1000\nfigure p = k / 3 * 1 m\nfigure q = (k + 0.5) / 3 * 1 m\nfigure gap = 2 * (p - q)\n',
  )
  const part = sheet.working('gap').steps[0]!.parts[0] as WorkingRelation
  expect([part.numbers, part.result]).toEqual(['2 × (333.3333 m − 333.5 m)', '−0.3333 m'])
  expect(part.inputs.map(({ text }) => text)).toEqual(['333.3333 m', '333.5 m'])
})

test('the power of a negative setting is put in with parentheses', () => {
  const sheet = openSheet('lever a from -3 to -1 in steps of 1\nfigure y = 2 * a^2\nmust y at most 2.5\n')
  const part = sheet.working('y').steps[0]!.parts[0] as WorkingRelation
  expect([part.numbers, part.result]).toEqual(['2 × (−1)^2', '2'])
})
