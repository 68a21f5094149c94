import fc from 'fast-check'

/** A quantity as decimal digits in a unit, with another unit that is a power of ten away: "17.5 kN" is "17500 N". */
export interface Written {
  readonly digits: string
  readonly unit: string
  readonly other: string
  /** other = unit × 10^−places, so digits move by `places` to the left (negative: right). */
  readonly places: number
}

/** A small rocket of invented numbers, as the parts of a sheet. */
export interface Rocket {
  readonly facts: readonly (readonly [string, Written])[]
  readonly world: 'Earth' | 'thin' | 'none'
  readonly load: number
  readonly cap: number
}

const written = (digits: string, unit: string, other: string, places: number): Written => ({
  digits,
  unit,
  other,
  places,
})

/** Vehicles that mostly fly: mass in hundreds of kg, thrust two to five times the weight. */
export const rocket: fc.Arbitrary<Rocket> = fc
  .record({
    dry: fc.integer({ min: 80, max: 300 }),
    full: fc.integer({ min: 100, max: 400 }),
    push: fc.integer({ min: 25, max: 60 }),
    impulse: fc.integer({ min: 190, max: 260 }),
    area: fc.integer({ min: 40, max: 200 }),
    drag: fc.integer({ min: 20, max: 70 }),
    world: fc.constantFrom<Rocket['world']>('Earth', 'thin', 'none'),
    load: fc.integer({ min: 40, max: 95 }),
    cap: fc.integer({ min: 55, max: 98 }),
  })
  .map(({ dry, full, push, impulse, area, drag, world, load, cap }) => {
    // Newtons: push tenths of the full weight, a whole number of hundreds.
    const thrust = Math.round((push * (dry + full)) / 100)
    return {
      facts: [
        ['dry mass', written(String(dry), 'kg', 't', 3)],
        ['full load', written(String(full), 'kg', 'g', -3)],
        ['vacuum thrust', written(String(thrust / 10), 'kN', 'N', -3)],
        ['sea level thrust', written(String((thrust - 2) / 10), 'kN', 'MN', 3)],
        ['specific impulse', written(String(impulse), 's', 'ms', -3)],
        ['reference area', written(String(area / 1000), 'm^2', 'm^2', 0)],
        ['drag coefficient', written(String(drag / 100), '', '', 0)],
      ],
      world,
      load: load / 100,
      cap: cap / 100,
    }
  })

const WORLDS = {
  Earth: [],
  thin: [
    'body world\n  radius = 900 km\n  surface gravity = 5 m/s^2\n  surface pressure = 30 kPa\n  surface density = 0.5 kg/m^3\n  scale height = 6 km\n  sound speed = 280 m/s\n  atmosphere top = 60 km',
  ],
  none: ['body world\n  radius = 1700 km\n  surface gravity = 1.7 m/s^2'],
}

/** Moves the point of plain digits: shift("17.5", 3) is "0.0175", shift("17.5", -3) is "17500". */
export function shift(digits: string, places: number): string {
  const [whole, fraction = ''] = digits.split('.')
  const padded = places >= 0 ? `${'0'.repeat(places)}${whole}` : `${whole}${fraction.padEnd(-places, '0')}`
  if (places >= 0) {
    const cut = padded.length - places
    return `${padded.slice(0, cut)}.${padded.slice(cut)}${fraction}`
  }
  const rest = fraction.slice(-places)
  return rest === '' ? padded.slice(0, whole!.length - places) : `${padded.slice(0, whole!.length - places)}.${rest}`
}

/** The statements of a rocket's sheet, one an entry, in a usual order; targets come on top. `others` writes each quantity in its other unit. */
export function statements(it: Rocket, others = false, steps = true): readonly string[] {
  const quantity = (value: Written): string =>
    (others ? `${shift(value.digits, value.places)} ${value.other}` : `${value.digits} ${value.unit}`).trim()
  const range = others
    ? `from 0.3 to 1${steps ? ' in steps of 0.01' : ''}`
    : `from 30 % to 100 %${steps ? ' in steps of 1 %' : ''}`
  return [
    ...it.facts.map(([name, value]) => `fact ${name} = ${quantity(value)}`),
    `lever fuel fraction ${range}`,
    `lever throttle cap ${range}`,
    'figure propellant mass = fuel fraction * full load',
    ...WORLDS[it.world],
    `flight hop from ${it.world === 'Earth' ? 'Earth' : 'world'}`,
  ]
}
