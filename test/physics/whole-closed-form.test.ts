import { describe, expect, test } from 'vitest'
import { EARTH } from '../../solver/flight/air.ts'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { wholeHistory } from '../../solver/flight/whole/course.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import type { Canopy, WholePlan } from '../../solver/flight/whole/plan.ts'
import { H, MASS, U } from '../../solver/flight/whole/point.ts'
import { carry } from '../../solver/flight/whole/staging.ts'
import { Voyage } from '../../solver/flight/whole/voyage.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { canopyPlan, ENTRIES, entryPeak, TERMINAL } from '../outside/descents.ts'
import { heronPlan } from '../support/vehicles.ts'
import { flown, leverOf, placeIn, stageLike, wholeOf } from '../support/whole.ts'

const heron = heronPlan(0.92, 0.61)
const stage = stageLike(heron.stages[0]!)
const canopy = (numbers: Partial<Canopy>): Canopy => ({
  area: 5,
  altitude: 5000,
  fillTime: 0,
  safeQ: Number.POSITIVE_INFINITY,
  safeSpeed: Number.POSITIVE_INFINITY,
  ...numbers,
})
const moon: BodyNumbers = { radius: 1737.4e3, gravity: 1.625, air: null }
const hop: WholePlan = wholeOf(
  { ...heron, body: moon },
  {
    railElevation: 1.1,
    railLength: 20,
    stages: [stage({ propellantMass: 100, separationDelay: 4 }), stage({ dryMass: 30, propellantMass: 0 })],
  },
)

describe('without air', () => {
  const it = flown(hop)
  const mu = moon.gravity * moon.radius ** 2
  const { rows } = wholeHistory(hop)
  const width = 11
  const moments = Array.from({ length: rows.length / width }, (_, k) => rows.subarray(k * width, (k + 1) * width))
  const coast = moments.filter(row => row[0]! > it.at('burn time') + 1e-9)
  const energy = (row: Float64Array): number => row[2]! ** 2 / 2 - mu / (moon.radius + row[1]!)
  const momentum = (row: Float64Array): number => (moon.radius + row[1]!) * row[9]!

  test('a coast keeps its energy and its angular momentum to 1e-9', () => {
    expect(coast.length).toBeGreaterThan(50)
    for (const row of coast) {
      expect(Math.abs(energy(row) / energy(coast[0]!) - 1)).toBeLessThan(1e-9)
      expect(Math.abs(momentum(row) / momentum(coast[0]!) - 1)).toBeLessThan(1e-9)
    }
  })

  // Vis-viva: v² = μ (2/r − 1/a); apsides r² + (μ/E) r − L²/(2E) = 0.
  test('apoapsis, periapsis and orbit shortfall are those of vis-viva from burnout', () => {
    const [e, l] = [energy(coast[0]!), momentum(coast[0]!)]
    const root = Math.sqrt(mu * mu + 2 * e * l * l)
    const far = (-mu - root) / (2 * e)
    const near = (-mu + root) / (2 * e)
    expect(it.at('apoapsis')).toBeCloseTo(far - moon.radius, 2)
    expect(it.at('periapsis')).toBeCloseTo(near - moon.radius, 1)
    const axis = -mu / (2 * e)
    const there = Math.sqrt(mu * (2 / far - 1 / axis))
    expect(it.at('apoapsis speed')).toBeCloseTo(there, 6)
    expect(it.at('orbit shortfall')).toBeCloseTo(Math.sqrt(mu / far) - there, 6)
  })

  test('what is dropped lands with the rest, as Galilei has it', () => {
    for (const name of ['downrange', 'flight time', 'touchdown speed'])
      expect(Math.abs(it.at(name, 0) / it.at(name) - 1), name).toBeLessThan(1e-9)
  })

  test('the burnout angle is that of the velocity', () => {
    const row = moments.find(each => each[0]! > it.at('burn time') - 1e-6)!
    expect(it.at('burnout angle')).toBeCloseTo(Math.acos(row[9]! / row[2]!), 6)
  })

  test('a hop round the body that misses the ground goes into orbit', () => {
    const small: BodyNumbers = { radius: 2e5, gravity: 0.5, air: null }
    // A rail on a slope that nearly lies flat, at a hundred kilometres: fast enough for a circle, too slow to leave.
    const plan = wholeOf(
      { ...heron, body: small, launchAltitude: 0 },
      {
        railElevation: 0.02,
        railLength: 10,
        pitch: { knots: Float64Array.of(0, 1000), coefficients: Float64Array.of(0, 0, 0, 0) },
        stages: [stage({ propellantMass: 25.5 })],
      },
    )
    expect(['goes into orbit', 'comes down']).toContain(flown(plan).outcome)
    expect(flown(plan).outcome).toBe('goes into orbit')
    expect(flown(plan).at('touchdown speed')).toBeNaN()
  })
})

// Sutton & Biblarz, Rocket Propulsion Elements, ch. 4: Δv = Σ c ln(m0/m1), where next to nothing pulls.
test('stages add up to the rocket equation', () => {
  const faint: BodyNumbers = { radius: 1e9, gravity: 1e-9, air: null }
  const stages = [
    stage({ dryMass: 100, propellantMass: 400, exhaustSpeed: 2000, separationDelay: 2 }),
    stage({ dryMass: 40, propellantMass: 160, exhaustSpeed: 2500, ignitionDelay: 1 }),
    stage({ dryMass: 50, propellantMass: 0 }),
  ]
  const it = flown(wholeOf({ ...heron, body: faint }, { stages }), 1e-10)
  const expected = 2000 * Math.log(750 / 350) + 2500 * Math.log(250 / 90)
  expect(it.at('burnout speed')).toBeCloseTo(expected, 5)
  expect(it.at('burnout speed', 0)).toBeCloseTo(2000 * Math.log(750 / 350), 5)
  expect(it.at('burn time', 1)).toBeCloseTo((160 * 2500) / 17500, 9)
})

// H. J. Allen & A. J. Eggers, NACA Report 1381 (1958): a_max = V² sin θ/(2 e H) and V = V_E e^−½ there, whatever the body's mass and drag.
describe('ballistic entry into exponential air has the peak of Allen and Eggers within 1 %', () => {
  test.each(ENTRIES)(
    'at %f m/s and %f deg below the horizontal, %f kg/m2: %f g0',
    (speed, angle, ballistic, expected) => {
      const ours = entryPeak(speed, angle, ballistic)
      expect(Math.abs(ours / expected - 1)).toBeLessThan(0.01)
      // Within 1e-4 of the integration of a straight path (the closed form's own assumption is that air begins far away).
      expect(Math.abs(ours / expected - 1)).toBeLessThan(2e-4)
    },
  )
})

// Knacke, NWC TP 6575, ch. 5: v = √(2 m g/(ρ C S)), worked for 1100 kg under a 63-ft canopy at sea level: 9.004772 m/s.
test('a parachute lets down at its terminal speed', () => {
  const it = flown(canopyPlan())
  expect(it.outcome).toBe('comes down')
  // Air grows denser on the way down, so it is a little faster than the balance: by v²/(2 g H), 5e-4.
  expect(it.at('touchdown speed') / TERMINAL).toBeCloseTo(1, 3)
  expect(it.at('touchdown energy')).toBeCloseTo(0.5 * 1100 * it.at('touchdown speed') ** 2, 6)
})

describe('stagnation heating', () => {
  // Sutton & Graves, NASA TR R-376 (1971), constant as in the NASA TFAWS 2012 course, whose example is 13.6 W/cm2.
  test('is 136,447 W/m2 at 3.1459e-4 kg/m3, 3535 m/s and a nose of 1 m', () => {
    const body: BodyNumbers = {
      radius: 1e12,
      gravity: 1e-6,
      air: { kind: 'exponential', pressure: 30, density: 3.1459e-4, scaleHeight: 1e9, soundSpeed: 300, top: 1e9 },
    }
    const plan = wholeOf(
      { ...heron, body },
      { noseRadius: 1, heating: 1.7415e-4, stages: [stage({ propellantMass: 0, dryMass: 1e9, referenceArea: 0 })] },
    )
    const voyage = new Voyage(plan, [], 1e-9, true, null, { tolerance: 1e-9, speed: 10, altitude: 100 })
    voyage.from.state.fill(0)
    voyage.from.state[H] = 0
    voyage.from.state[U] = 3535
    voyage.from.state[MASS] = 1e9
    voyage.from.time = 0
    carry(voyage, 0)
    voyage.begin(1)
    expect(voyage.from.heat).toBeCloseTo(136447.06, 1)
  })

  test('of a flight is the largest over its course, and its load the sum', () => {
    const plan = wholeOf(heron, { noseRadius: 0.5, heating: 1.7415e-4 })
    const it = flown(plan)
    const { rows } = wholeHistory(plan)
    let [most, load] = [0, 0]
    let [before, then] = [0, 0]
    for (let k = 0; k < rows.length; k += 11) {
      if (rows[k]! > it.at('apoapsis time') + 1e-6) break
      // ½ ρ V² is in the rows: ρ = 2 q/V².
      const [time, speed, q] = [rows[k]!, rows[k + 2]!, rows[k + 4]!]
      const heat = speed > 0 ? (1.7415e-4 * Math.sqrt(2 * q) * speed ** 2) / Math.sqrt(0.5) : 0
      most = Math.max(most, heat)
      if (k > 0) load += ((heat + before) / 2) * (time - then)
      before = heat
      then = time
    }
    expect(it.at('peak heat flux') / most).toBeCloseTo(1, 3)
    // By trapezoids between the rows.
    expect(it.at('heat load') / load).toBeCloseTo(1, 2)
  })
})

// Kinematics, by hand: v = √(2 a L) with a = F/m − g sin ε, for a motor so small that the mass stays.
test('a rail is left at √(2 a L)', () => {
  const light = stage({
    dryMass: 100,
    propellantMass: 0.1,
    exhaustSpeed: 1e6,
    vacuumThrust: 5 * 100.1 * 9.80665,
    seaLevelThrust: 5 * 100.1 * 9.80665,
    referenceArea: 0,
  })
  expect(flown(wholeOf(heron, { railLength: 3, stages: [light] })).at('rail exit speed')).toBeCloseTo(15.341434, 3)
  const leaning = flown(wholeOf(heron, { railLength: 3, railElevation: 1.2, stages: [light] })).at('rail exit speed')
  expect(leaning).toBeCloseTo(Math.sqrt(6 * 9.80665 * (5 - Math.sin(1.2))), 3)
})

// Weight balances drag: u = √(2 m g/(ρ A)), and the fall takes ∫ dh/u, which Simpson's rule adds up here; by area it changes as √A.
test('a long slow descent takes as long as its terminal speeds say, and as much longer as its canopy is larger', () => {
  const world: BodyNumbers = {
    radius: 3e6,
    gravity: 9,
    air: { kind: 'exponential', pressure: 8e4, density: 1.1, scaleHeight: 7000, soundSpeed: 300, top: 90e3 },
  }
  const [mass, area, opening] = [5, 60, 18e3]
  const capsule = stage({ dryMass: mass, propellantMass: 0, referenceArea: 0 })
  const plan = wholeOf(
    { ...heron, body: world },
    { stages: [stage({ propellantMass: 150 }), capsule], canopies: [canopy({ area, altitude: opening })] },
  )
  const pace = (h: number): number =>
    Math.sqrt((1.1 * Math.exp(-h / 7000) * area) / (2 * mass * 9 * (3e6 / (3e6 + h)) ** 2))
  const parts = 2000
  let fall = 0
  for (let k = 0; k <= parts; k++)
    fall += (k === 0 || k === parts ? 1 : k % 2 === 1 ? 4 : 2) * pace((opening * k) / parts)
  fall *= opening / parts / 3
  const lanes = [leverOf(plan, { canopies: { 0: { area: 1 } } })]
  const it = flyWholeAt(plan, lanes, 1e-8, 'to the ground', null)
  expect(it.outcome).toBe('comes down')
  expect(it.evaluations).toBeLessThan(8000)
  const [time, open, speed] = [
    placeIn(plan, 'flight time'),
    placeIn(plan, 'opening time', 0, 'canopy'),
    placeIn(plan, 'touchdown speed'),
  ]
  const took = it.figures[time]! - it.figures[open]!
  expect(took / fall).toBeCloseTo(1, 3)
  expect(it.slopes[time]! / (fall / (2 * area))).toBeCloseTo(1, 3)
  expect(it.figures[speed]! * pace(0)).toBeCloseTo(1, 4)
  expect(it.slopes[speed]! / (-it.figures[speed]! / (2 * area))).toBeCloseTo(1, 4)
})

// Conservation of energy: a rail does no work.
test('a rail too long to be run is slid back down, to the speed of the fall from its highest point', () => {
  const plan = wholeOf(
    { ...heron, body: moon },
    { railElevation: 0.8, railLength: 40e3, stages: [stage({ propellantMass: 20 })] },
  )
  const it = flown(plan)
  const mu = moon.gravity * moon.radius ** 2
  expect(it.outcome).toBe('comes down')
  expect(it.at('rail exit speed')).toBeNaN()
  expect(it.at('burnout angle')).toBeCloseTo(0.8, 9)
  const fall = Math.sqrt(2 * mu * (1 / moon.radius - 1 / (moon.radius + it.at('apoapsis'))))
  expect(it.at('touchdown speed') / fall).toBeCloseTo(1, 8)
  // In air the drag, which is against the motion, takes some of it.
  expect(flown({ ...plan, body: EARTH }).at('touchdown speed')).toBeLessThan(
    Math.sqrt(2 * 9.80665 * flown({ ...plan, body: EARTH }).at('apoapsis')),
  )
})

describe('outcomes', () => {
  const up = { stages: [stage({ propellantMass: 150 })] }
  test('a parachute that is never within its limits', () => {
    expect(flown(wholeOf(heron, { ...up, canopies: [canopy({ safeSpeed: 20 })] })).outcome).toBe('never safe to open')
  })
  test('a parachute set below the ground', () => {
    const plan = wholeOf({ ...heron, launchAltitude: 2000 }, { ...up, canopies: [canopy({ altitude: 1500 })] })
    expect(flown(plan).outcome).toBe('hits the ground before opening')
    expect(flown(plan).at('opening speed', 0, 'canopy')).toBeNaN()
  })
  test('one that opens at once where the apoapsis lies below its altitude', () => {
    const it = flown(wholeOf(heron, { ...up, canopies: [canopy({ altitude: 500e3 })] }))
    expect(it.at('opening altitude', 0, 'canopy')).toBeCloseTo(it.at('apoapsis'), 6)
    expect(it.at('opening time', 0, 'canopy')).toBeCloseTo(it.at('apoapsis time'), 9)
  })
  test('a second parachute waits for the first', () => {
    const it = flown(
      wholeOf(heron, {
        stages: [stage({ propellantMass: 150, referenceArea: 2 })],
        canopies: [canopy({ altitude: 3000, safeSpeed: 80 }), canopy({ altitude: 2900, area: 20 })],
      }),
    )
    expect(it.at('opening time', 1, 'canopy')).toBeGreaterThanOrEqual(it.at('opening time', 0, 'canopy'))
    expect(it.outcome).toBe('comes down')
  })
  test('one that lands by parachute where its booster, still falling, comes down', () => {
    const stages = [
      stage({ propellantMass: 150, referenceArea: 3 }),
      stage({ dryMass: 200, propellantMass: 0, referenceArea: 0.05 }),
    ]
    const plan = wholeOf(heron, { stages, canopies: [canopy({ altitude: 150, area: 20 })] })
    const { events, flown: its } = wholeHistory(plan)
    expect(its.outcome).toBe("lands under the booster's own fall")
    const [touchdown, impact] = ['touchdown', 'impact'].map(name => events.find(event => event.name === name)!.time)
    expect(impact!).toBeGreaterThan(touchdown!)
    expect(flown(plan).at('flight time', 0)).toBeCloseTo(impact!, 6)
    // A canopy that opens high lets the booster fall first.
    const high = { ...plan, canopies: [canopy({ altitude: 3000, area: 60 })] }
    expect(flown(high).outcome).toBe('comes down')
    expect(
      wholeHistory(high)
        .events.map(event => event.name)
        .slice(-2),
    ).toEqual(['impact', 'touchdown'])
  })
  test('an escape has no way down', () => {
    const pebble: BodyNumbers = { radius: 2e5, gravity: 0.5, air: null }
    const it = flown(wholeOf({ ...heron, body: pebble }, { railElevation: 1.2, railLength: 20 }))
    expect(it.outcome).toBe('escapes')
    expect(it.at('apoapsis')).toBe(Number.POSITIVE_INFINITY)
    expect(it.at('spaceborne time')).toBe(Number.POSITIVE_INFINITY)
    expect(it.at('touchdown speed')).toBeNaN()
  })
  test('stages that fire while falling drive it down', () => {
    const stages = [stage({ propellantMass: 60, separationDelay: 45 }), stage({ dryMass: 50, propellantMass: 20 })]
    const it = flown(wholeOf(heron, { stages }))
    expect(it.outcome).toBe('comes down')
    expect(it.at('apoapsis time')).toBeLessThan(45)
    expect(it.at('burnout angle')).toBeCloseTo(-Math.PI / 2, 9)
    expect(it.at('burnout speed', 1)).toBeGreaterThan(0)
  })
  test('the ground is met also where a layer of air ends on it', () => {
    const it = flown(wholeOf({ ...heron, launchAltitude: 20063.12411 }, up))
    expect(it.outcome).toBe('comes down')
    const edge = (6356766 * 20000) / (6356766 - 20000)
    expect(flown(wholeOf({ ...heron, body: EARTH, launchAltitude: edge }, up)).outcome).toBe('comes down')
  })
  test('a guided rocket that is held past rows of its program flies on from there', () => {
    const pitch = pchip([0, 2, 5, 60], [1.5, 1.45, 1.4, 1.2])
    const held = stage({ propellantMass: 276, throttleCap: 0.2 })
    const it = flown(wholeOf(heron, { railElevation: 1.5, railLength: 5, pitch, stages: [held] }))
    expect(it.outcome).toBe('comes down')
    // The rail is left only after some of the propellant is burnt.
    expect(it.at('rail exit speed')).toBeGreaterThan(0)
  })
  test('two peaks in one moment do not hold a flight up: what is felt and dynamic pressure, where the drag coefficient is constant', () => {
    const capsule = stage({ dryMass: 650, propellantMass: 0, referenceArea: 1.767, drag: constantCurve(1.3) })
    for (let k = 0; k < 150; k++) {
      const booster = stage({
        dryMass: 700,
        propellantMass: 1860,
        vacuumThrust: 120e3,
        seaLevelThrust: 105e3,
        throttleCap: 0.5 + k * 1e-3,
      })
      const plan = wholeOf(heron, { stages: [booster, capsule] })
      for (const tolerance of [1e-4, 1e-8]) {
        const { outcome, evaluations } = flyWholeAt(plan, [], tolerance, 'to the ground', null)
        expect(outcome).toBe('comes down')
        expect(evaluations).toBeLessThan(4000)
      }
    }
  })
})
