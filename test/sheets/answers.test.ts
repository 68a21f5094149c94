import { describe, expect, test } from 'vitest'
import type { Answer } from '../../sheets/index.ts'
import { openSheet } from '../../sheets/index.ts'

const solve = (text: string, set: Record<string, string | number> = {}): Answer => openSheet(text).solve({ set })
const si = (answer: Answer, name: string): number => answer.quantities[name]!.si as number
const lever = (name = 'x', range = 'from 0 to 10 in steps of 1'): string => `lever ${name} ${range}\n`

describe('levels', () => {
  test('a should gives way to a must, a could to a should, an aim to all', () => {
    const text = `${lever()}must x at most 7\nshould x at least 9\ncould x at most 2\naim least x\n`
    const answer = solve(text)
    expect(si(answer, 'x')).toBe(7)
    expect(answer.targets.map(({ met }) => met)).toEqual([true, false, false])
  })

  test('no weight of a could buys a loss of a should, whatever the scales', () => {
    // The could would gain 1e9 of its margins for 1e-6 of the should's.
    const text = `${lever('x', 'from 0 to 1 in steps of 0.00001')}figure big = x * 1e9\nshould x at least 1\ncould big at most 1\n`
    expect(si(solve(text), 'x')).toBe(1)
  })

  test('the shortfalls of one level are added', () => {
    // At x the shoulds are short by (8 − x)/8 and twice (x − 2)/2: least at the end where two stand.
    const answer = solve(`${lever()}should x at least 8\nshould x at most 2\nfigure y = 2 * x\nshould y at most 4\n`)
    expect(si(answer, 'x')).toBe(2)
  })

  test('equal to with a tolerance adds squares: two measurements meet between them', () => {
    const text = `${lever('x', 'from 0 to 10')}should x equal to 4 ± 1\nshould x equal to 6 ± 1\n`
    expect(si(solve(text), 'x')).toBeCloseTo(5, 6)
  })

  test('aims count in order', () => {
    const text = `${lever()}${lever('y')}must x + y at least 10\naim least x\naim least y\n`
    const answer = solve(text)
    expect([si(answer, 'x'), si(answer, 'y')]).toEqual([0, 10])
  })

  test('with no aim the roomiest setting is taken', () => {
    // Margins (x − 2)/2 and (8 − x)/8: at 3 and at 4 the smaller is a half; at 4 the other is the larger.
    expect(si(solve(`${lever()}must x at least 2\nmust x at most 8\n`), 'x')).toBe(4)
  })

  test('with nothing asked for, levers stay in mid-range, then the smaller', () => {
    const answer = solve(`${lever()}${lever('y', 'from 0 to 9 in steps of 1')}`)
    expect([si(answer, 'x'), si(answer, 'y')]).toEqual([5, 4])
  })
})

describe('an algebraic sheet', () => {
  test('of facts alone is worked out', () => {
    const answer = solve('fact a = 3 kg\nfact b = 4 N\nfigure c = b / a\nmust c at least 1 m/s^2\n')
    expect(answer.outcome).toBe('solved')
    expect(si(answer, 'c')).toBeCloseTo(4 / 3, 15)
  })

  test('a fact is told as the decimal it was written as', () => {
    const facts = ['20 degC', '-40 degF', '7 %', '1 lbf', '3 slug', '0.1 lb/ft^3']
    const { quantities } = solve(facts.map((text, k) => `fact ${'abcdef'[k]} = ${text}\n`).join(''))
    expect(Object.values(quantities).map(({ value, unit }) => `${value} ${unit}`)).toEqual(facts)
  })

  test('limits of readings are moved to the degree: the next one in a price, and the one of a mend', () => {
    const range = 'lever t from 10 degC to 30 degC in steps of 1 K\n'
    const price = solve(`${range}must t at least 15.5 degC\naim least t\n`).targets[0]!.price!
    expect([price.next!.text, price.next!.settings.t!.text]).toEqual(['t at least 15 degC', '15 degC'])
    const { mends } = solve(`${range}must t at most 9 degC\n`).conflict!
    expect(mends.map(({ text, change }) => [text, change])).toEqual([['t at most 10 degC', '1 K more, 0.35 %']])
  })

  test('whose facts break a must is a conflict, proved', () => {
    const answer = solve('fact a = 3 kg\nmust a at least 4 kg\n')
    expect([answer.outcome, answer.conflict!.evidence, answer.conflict!.targets]).toEqual([
      'conflict',
      'proved',
      ['a at least 4 kg'],
    ])
    expect(answer.conflict!.compromise!.quantities.a!.text).toBe('3 kg')
  })

  test('whose ranges cannot meet its musts is a conflict, proved, with its closest compromise', () => {
    const answer = solve(`${lever()}${lever('y')}must x + y at least 25\n`)
    expect([answer.outcome, answer.conflict!.evidence]).toEqual(['conflict', 'proved'])
    expect([si(answer, 'x'), si(answer, 'y')]).toEqual([10, 10])
  })

  test('has no flights and no work of theirs', () => {
    const answer = solve(`${lever()}must x at least 3\n`)
    expect([answer.flights, answer.work.flights]).toEqual([{}, 0])
  })

  test('takes limits that hang on levers', () => {
    // x at most half of y, y at most 9: the largest x is 4.
    const answer = solve(`${lever()}${lever('y')}must x at most y / 2\nmust y at most 9\naim most x\naim least y\n`)
    expect([si(answer, 'x'), si(answer, 'y')]).toEqual([4, 8])
    expect(answer.targets[0]).toMatchObject({ margin: 0, limit: [null, 4] })
  })

  test('tells the scale of a zero limit', () => {
    const answer = solve(`${lever('x', 'from -4 to 4 in steps of 1')}must x at most 0\naim most x\n`)
    expect(answer.targets[0]).toMatchObject({ met: true, si: 0, margin: 0, limit: [null, 0] })
    expect(answer.targets[0]!.scale).toBeGreaterThan(0)
  })

  test('gives a quantity without a value as null with its reason, and a target on it is not met', () => {
    const answer = solve(`${lever('x', 'from -3 to -1 in steps of 1')}figure y = sqrt(x)\nshould y at least 1\n`)
    expect(answer.quantities.y).toMatchObject({
      si: null,
      value: null,
      text: 'no value',
      reason: 'the root of a negative number',
    })
    expect(answer.targets[0]).toMatchObject({ met: false, si: null, margin: null })
  })

  test('may use names that a program would trip over', () => {
    const answer = solve(
      'fact __proto__ = 3\nfact constructor = 4\nfigure toString = constructor * 2\n'.replace('__proto__', 'proto'),
    )
    expect(si(answer, 'toString')).toBe(8)
    expect(si(answer, 'constructor')).toBe(4)
  })
})

describe('what is set from outside', () => {
  const text = `fact mass = 2 kg\n${lever()}figure pull = mass * x\nmust pull at most 9 kg\naim most x\n`

  test('stands for a fact, in any unit, or from other facts', () => {
    expect(si(solve(text), 'x')).toBe(4)
    expect(si(solve(text, { mass: '3000 g' }), 'x')).toBe(3)
    expect(si(solve(text, { mass: 1 }), 'x')).toBe(9)
    expect(si(solve(`fact spare = 1 kg\n${text}`, { mass: '3 * spare' }), 'x')).toBe(3)
  })

  test('pins a lever', () => {
    const answer = solve(text, { x: 2 })
    expect([si(answer, 'x'), answer.quantities.x!.pinned]).toEqual([2, true])
  })

  test('may leave the steps with a warning, but not the range', () => {
    const between = solve(text, { x: 2.5 })
    expect([si(between, 'x'), between.problems.map(({ severity }) => severity)]).toEqual([2.5, ['warning']])
    expect(solve(text, { x: 12 })).toMatchObject({
      outcome: 'faulty',
      problems: [{ message: '"x" cannot be set to 12: its range is 0 to 10.' }],
    })
  })

  test.each([
    [{ weight: 3 }, 'Nothing in the sheet is called "weight", so it cannot be set.'],
    [{ pull: 3 }, '"pull" is worked out; only facts and levers can be set.'],
    [{ mass: '3 m' }, '"mass" is a mass (kg); "3 m" is a length (m).'],
    [{ mass: Number.NaN }, '"mass" cannot be set to NaN: that is no finite number.'],
    [{ mass: 'x * 1 kg' }, '"mass" can be set to what is known only; "x * 1 kg" hangs on a lever.'],
  ])('%j is told to be wrong', (set, message) => {
    const answer = solve(text, set as Record<string, string | number>)
    expect(answer.outcome).toBe('faulty')
    expect(answer.problems[0]!.message).toBe(message)
  })

  test('leaves the sheet as it was for the next question', () => {
    const sheet = openSheet(text)
    const before = JSON.stringify({ ...sheet.solve(), work: null })
    sheet.solve({ set: { mass: 1, x: 3 } })
    expect(JSON.stringify({ ...sheet.solve(), work: null })).toBe(before)
  })
})

describe('flights at their edges', () => {
  const vehicle = (over: Record<string, string> = {}): string =>
    Object.entries({
      'dry mass': '165 kg',
      'propellant mass': '276 kg',
      'vacuum thrust': '17.5 kN',
      'specific impulse': '242 s',
      'reference area': '0.125 m^2',
      'drag coefficient': '0.42',
      ...over,
    })
      .map(([name, value]) => `fact ${name} = ${value}\n`)
      .join('')

  test('one that never leaves the pad has its launch altitude for an apoapsis and misses what is asked of it', () => {
    const answer = solve(
      `${vehicle({ 'vacuum thrust': '1 kN', 'launch altitude': '300 m' })}flight hop from Earth\nmust apoapsis at least 10 km\n`,
    )
    expect(answer.flights).toEqual({ hop: 'never leaves the pad' })
    expect([answer.outcome, si(answer, 'apoapsis'), si(answer, 'max q'), si(answer, 'gravity loss')]).toEqual([
      'conflict',
      300,
      0,
      0,
    ])
    // Where it stands is the least that could be asked for.
    expect(answer.conflict!.mends.map(mend => mend.text)).toEqual(['apoapsis at least 0.3 km'])
    const { events } = openSheet(
      `${vehicle({ 'vacuum thrust': '1 kN', 'launch altitude': '300 m' })}flight hop from Earth\n`,
    ).fly()
    expect(events.find(event => event.name === 'apoapsis')).toEqual({ name: 'apoapsis', time: 0, altitude: 300 })
  })

  test('a stage that is dropped on a way out is told to stay away, the last one to be kept', () => {
    const stage = (name: string, dry: string, load: string): string =>
      `  stage ${name}\n    dry mass = ${dry}\n    propellant mass = ${load}\n    vacuum thrust = 2 kN\n    specific impulse = 250 s\n`
    const flight = `flight hop from Moon\n${stage('low', '10 kg', '40 kg')}${stage('high', '5 kg', '20 kg')}${stage('top', '3 kg', '2 kg')}`
    const { quantities, flights } = solve(flight)
    expect(flights).toEqual({ hop: 'escapes' })
    expect(quantities['downrange of high']).toMatchObject({ si: null, reason: 'this stage does not come down' })
    expect(quantities['downrange of top']!.reason).toBe('this stage is not dropped in this flight')
  })

  test('one that leans and lands while it burns has no burn time, as it has no burnout', () => {
    const lean = (over: Record<string, string>): Answer =>
      solve(`${vehicle({ 'rail length': '3 m', ...over })}flight hop from Earth\n`)
    const { quantities } = lean({ 'vacuum thrust': '1 kN', 'rail elevation': '15 deg' })
    for (const name of ['burn time', 'burnout altitude', 'burnout speed'])
      expect(quantities[name]).toMatchObject({ si: null, reason: 'nothing burns out before touchdown' })
    // Impulse over thrust.
    expect(si(lean({ 'rail elevation': '80 deg' }), 'burn time')).toBeCloseTo((276 * 242 * 9.80665) / 17500, 8)
  })

  test('one that never leaves the pad is spaceborne for no time, and lands at no speed that could be told', () => {
    const answer = solve(
      `${vehicle({ 'vacuum thrust': '1 kN' })}flight hop from Earth\nmust spaceborne time at most 10 s\nshould touchdown speed at most 5 m/s\n`,
    )
    expect(answer.outcome).toBe('solved')
    expect(answer.targets.map(({ si: value, met }) => [value, met])).toEqual([
      [0, true],
      [null, false],
    ])
  })

  test('one without propellant never leaves the pad and has no burnout', () => {
    const answer = solve(`${vehicle({ 'propellant mass': '0 kg' })}flight hop from Earth\n`)
    expect(answer.flights).toEqual({ hop: 'never leaves the pad' })
    expect(answer.quantities['burnout speed']).toMatchObject({ si: null })
    expect(answer.quantities['burnout speed']!.reason).toMatch(/nothing burns out/)
  })

  test('a figure that has no value at any settings is a conflict that says why', () => {
    for (const drag of ['from 0.3 to 0.7', 'from 0.3 to 0.7 in steps of 0.1']) {
      const facts = vehicle({ 'drag coefficient': '0.5' }).replace(
        'fact drag coefficient = 0.5',
        `lever drag coefficient ${drag}`,
      )
      const answer = solve(`${facts}flight hop from Earth\nmust peak heat flux at most 10 kW/m^2\n`)
      expect(answer.outcome).toBe('conflict')
      expect(answer.targets[0]).toMatchObject({ met: false, si: null, margin: null, reason: 'no nose radius is given' })
      expect(answer.conflict!.targets).toEqual(['peak heat flux at most 10 kW/m^2'])
    }
  })

  test('one that escapes meets any "at least" and breaks any "at most"', () => {
    const world = 'body pebble\n  radius = 20 km\n  surface gravity = 0.05 m/s^2\nflight hop from pebble\n'
    const answer = solve(`${vehicle()}${world}must apoapsis at least 1e6 km\nshould apoapsis at most 1e6 km\n`)
    expect(answer.flights).toEqual({ hop: 'escapes' })
    expect(answer.quantities.apoapsis).toMatchObject({ si: 'infinity', text: 'infinite' })
    expect(answer.targets.map(({ met, si: value }) => [met, value])).toEqual([
      [true, 'infinity'],
      [false, 'infinity'],
    ])
    expect(JSON.parse(JSON.stringify(answer)).quantities.apoapsis.si).toBe('infinity')
  })

  test('one in no air has no mach number and says why', () => {
    const answer = solve(
      `${vehicle()}body rock\n  radius = 1700 km\n  surface gravity = 1.6 m/s^2\nflight hop from rock\n`,
    )
    expect(answer.quantities['max mach']).toMatchObject({ si: null })
    expect(answer.quantities['max mach']!.reason).toMatch(/no air/)
    expect(si(answer, 'max q')).toBe(0)
  })

  test('a table of mach read beyond its last row is told of', () => {
    const text = `${vehicle().replace('fact drag coefficient = 0.42\n', '')}table drag coefficient of mach\n  0 0.4\n  2 0.3\nflight hop from Earth\n`
    const answer = solve(text)
    expect(answer.problems.map(({ severity }) => severity)).toEqual(['warning'])
    expect(answer.problems[0]!.message).toMatch(
      /^The table "drag coefficient" is read at \d\.\d+, outside its rows \(0 to 2\)/,
    )
  })

  test('a specific impulse in s, m/s or N*s/kg is the same motor', () => {
    const burn = (impulse: string): number =>
      si(solve(`${vehicle({ 'specific impulse': impulse })}flight hop from Earth\n`), 'burnout speed')
    const seconds = burn('242 s')
    expect(burn('2373.2093 m/s')).toBeCloseTo(seconds, 6)
    expect(burn('2.3732093 kN*s/kg')).toBeCloseTo(seconds, 6)
  })

  test('a diameter stands for the reference area', () => {
    const round = solve(
      `${vehicle().replace('fact reference area = 0.125 m^2\n', 'fact diameter = 398.9423 mm\n')}flight hop from Earth\n`,
    )
    expect(si(round, 'apoapsis')).toBeCloseTo(si(solve(`${vehicle()}flight hop from Earth\n`), 'apoapsis'), 0)
  })

  test('two flights of one sheet are told apart by name', () => {
    const answer = solve(
      `${vehicle()}flight low from Earth\nflight high from Earth\n  launch altitude = 2 km\nfigure gain = apoapsis of high - apoapsis of low\n`,
    )
    expect(answer.quantities.apoapsis).toBeUndefined()
    expect(si(answer, 'gain')).toBeCloseTo(si(answer, 'apoapsis of high') - si(answer, 'apoapsis of low'), 6)
    expect(si(answer, 'gain')).toBeGreaterThan(2000)
  })
})

test('a warning about a flight does not lose it: with a diameter and an area the area is taken', () => {
  const text = (more: string) =>
    `fact dry mass = 3.2 kg\nfact propellant mass = 1.4 kg\nfact vacuum thrust = 400 N\nfact specific impulse = 190 s\n${more}fact reference area = 0.0044 m^2\nflight hop from Earth\nmust apoapsis at least 500 m\n`
  const both = openSheet(text('fact diameter = 75 mm\n')).solve()
  expect(both.problems.map(problem => problem.severity)).toEqual(['warning'])
  expect(both.targets).toEqual(openSheet(text('')).solve().targets)
})

test('wrong names and wrong numbers are told together, in the order of the lines', () => {
  const sheet = openSheet('lever x from 5 to 1\nfigure y = nothere\nfact z = 1/0\nmust x at least 2 m')
  expect(sheet.problems.map(problem => problem.line)).toEqual([1, 2, 3, 4])
  expect(sheet.solve().problems).toEqual(sheet.problems)
})

test.each([
  ['lever x from 1 to 100 %\nmust x at least 2', [1]],
  [
    'fact dry mass = 5 k g\nfact propellant mass = 1 kg\nfact vacuum thrust = 1 kN\nfact specific impulse = 200 s\nflight hop from Earth\nmust apoapsis at least 1 km',
    [1],
  ],
  ['table cd of mach\n  0 0.4 0.5 x\nfigure a = cd(0.5)', [2]],
])('what hangs on a wrong line is not told of as well: %s', (text, lines) => {
  const { problems } = openSheet(text)
  expect([...new Set(problems.map(problem => problem.line))]).toEqual(lines)
})

test('what is wrong with a setting is told at the line of what it sets, and shows no line', () => {
  const sheet = openSheet('fact m = 2 kg\nlever x from 0 to 1 in steps of 0.1\nfigure y = x\nmust x at least 0')
  const place = (set: Readonly<Record<string, string | number>>): unknown => {
    const { line, column, length } = sheet.solve({ set }).problems[0]!
    return [line, column, length]
  }
  expect(place({ x: 2 })).toEqual([2, 7, 0])
  expect(place({ x: 0.55 })).toEqual([2, 7, 0])
  expect(place({ x: '1 kg' })).toEqual([2, 7, 0])
  expect(place({ m: '1 km' })).toEqual([1, 6, 0])
  expect(place({ y: 1 })).toEqual([3, 8, 0])
  expect(place({ nothere: 1 })).toEqual([1, 1, 0])
  expect(sheet.working('nothere').problems?.[0]).toMatchObject({ line: 1, column: 1, length: 0 })
  expect(sheet.fly().problems?.[0]).toMatchObject({ line: 1, column: 1, length: 0 })
})

test('quantities at given levers take texts as well as numbers, also between steps', () => {
  const sheet = openSheet('fact m = 2 kg\nlever x from 0 % to 100 % in steps of 10 %\nfigure y = x * m')
  expect(sheet.at({ x: '55 %' }).y).toBe(1.1)
  expect(sheet.at({ x: 0.5, m: '3 kg' }).y).toBe(1.5)
})

test('a flight tells each figure by two names, and why there is none', () => {
  const { figures, reasons } = openSheet(
    'flight hop from Earth\n  dry mass = 10 kg\n  vacuum thrust = 1 kN\n  specific impulse = 200 s',
  ).fly()
  const names = Object.keys(figures)
  const plain = names.filter(name => !name.endsWith(' of hop'))
  expect(names).toHaveLength(2 * plain.length)
  for (const name of plain) expect([name, figures[`${name} of hop`]]).toEqual([name, figures[name]])
  expect(Object.keys(reasons ?? {}).sort()).toEqual(names.filter(name => figures[name] === null).sort())
  expect(reasons).toMatchObject({ 'burnout speed of hop': 'there is no propellant, so nothing burns out' })
})
