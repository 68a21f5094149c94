import { formatQuantity } from '../../grammar/units/choose.ts'
import { decimalToSI } from '../../grammar/units/unit.ts'
import type { Answer, ConflictSetAnswer, JsonNumber, QuantityAnswer, TargetAnswer } from '../../sheets/answer.ts'
import { unitNamed } from '../../sheets/report/target-words.ts'

// Answers made by hand, so that a report can be read without a search.

export function quantity(
  role: QuantityAnswer['role'],
  value: number | null,
  unit: string,
  more: Partial<QuantityAnswer> = {},
): QuantityAnswer {
  const si = value === null ? null : decimalToSI(String(value), unitNamed(unit))
  const text = si === null ? 'no value' : formatQuantity(si, unitNamed(unit), 4)
  return { role, si, value, unit, text, ...more }
}

/** A target row whose margin is worked out as design.md section 3 says. */
export function target(
  level: TargetAnswer['level'],
  text: string,
  value: number | 'infinity' | null,
  limit: readonly [number | null, number | null],
  unit = '',
  more: Partial<TargetAnswer> = {},
): TargetAnswer {
  const si = (number: number | 'infinity' | null): JsonNumber =>
    typeof number === 'number' ? decimalToSI(String(number), unitNamed(unit)) : number
  const margin = marginOf(value, limit, more.scale)
  return {
    text,
    level,
    met: typeof margin === 'number' ? margin >= -1e-9 : margin === 'infinity',
    atLimit: typeof margin === 'number' && margin >= -1e-9 && margin <= 0.005,
    margin,
    si: si(value),
    limit: [si(limit[0]), si(limit[1])],
    unit,
    price: null,
    sensitivities: {},
    ...more,
  }
}

function marginOf(
  value: number | 'infinity' | null,
  [low, high]: readonly [number | null, number | null],
  scale?: number,
): JsonNumber {
  if (value === null) return null
  if (value === 'infinity') return high === null ? 'infinity' : '-infinity'
  if (low !== null && high !== null) {
    if (low === high) return -Math.abs(value - low) / (scale ?? Math.abs(low))
    return Math.min(value - low, high - value) / ((high - low) / 2)
  }
  const [slack, at] = low === null ? [high! - value, high!] : [value - low, low]
  return slack / (scale ?? Math.abs(at))
}

function answer(more: Partial<Answer>): Answer {
  return {
    sheet: '',
    outcome: 'solved',
    optimum: 'searched',
    quantities: {},
    targets: [],
    aims: [],
    flights: {},
    conflict: null,
    decides: null,
    problems: [],
    work: { flights: 0, milliseconds: 0.4 },
    ...more,
  }
}

const heronLevers = (fuel: number, cap: number) => ({
  'fuel fraction': quantity('lever', fuel, '%', { description: 'share of the full load' }),
  'throttle cap': quantity('lever', cap, '%', { description: 'the valve is pinned before ignition' }),
})

const flown: Readonly<Record<string, QuantityAnswer>> = {
  'burn time': quantity('figure', 61.4, 's'),
  'burnout altitude': quantity('figure', 27.92, 'km'),
  'burnout speed': quantity('figure', 1206.2, 'm/s'),
  'max mach': quantity('figure', 4.0211, ''),
  apoapsis: quantity('figure', 100.0921, 'km'),
  'apoapsis time': quantity('figure', 184.2, 's'),
  'gravity loss': quantity('figure', 600.1, 'm/s'),
  'drag loss': quantity('figure', 416.3, 'm/s'),
  'back pressure loss': quantity('figure', 110.9, 'm/s'),
}

/** The Heron sheet solved; the targets' figures are the brute-force reference's, the others round numbers near it. */
export const heron: Answer = answer({
  sheet: 'Heron 3, a hybrid sounding rocket',
  quantities: {
    'dry mass': quantity('fact', 165, 'kg'),
    ...heronLevers(92, 61),
    'propellant mass': quantity('figure', 276, 'kg'),
    'loaded mass': quantity('figure', 441, 'kg', { description: 'on the rail' }),
    ...flown,
    ...Object.fromEntries(Object.entries(flown).map(([name, figure]) => [`${name} of hop`, figure])),
  },
  targets: [
    target('must', 'liftoff ratio at least 2', 2.172157, [2, null]),
    target('must', 'peak g at most 6 g0', 5.987376, [null, 6], 'g0'),
    target('must', 'max q at most 70 kPa', 59.2833, [null, 70], 'kPa'),
    target('should', 'apoapsis within 100 km to 110 km', 100.0921, [100, 110], 'km', { atLimit: true }),
  ],
  aims: [{ text: 'least propellant mass', si: 276, unit: 'kg' }],
  flights: { hop: 'comes down' },
  work: { flights: 33.4, milliseconds: 7.04 },
})

const heronSettings = (fuel: number, cap: number) => ({
  'fuel fraction': { si: fuel / 100, text: `${fuel} %` },
  'throttle cap': { si: cap / 100, text: `${cap} %` },
})

const conflictSet: ConflictSetAnswer = {
  targets: ['liftoff ratio at least 2', 'peak g at most 5 g0', 'apoapsis within 100 km to 110 km'],
  ranges: [],
  evidence: 'searched',
  flights: 812,
  gap: 1 / 70,
  every: true,
  mends: [
    {
      text: 'liftoff ratio at least 1.663',
      change: '0.337 less, 17 %',
      si: 1.663,
      by: -0.337,
      target: 'liftoff ratio at least 2',
      settings: heronSettings(96, 48),
    },
    {
      text: 'peak g at most 5.685 g0',
      change: '0.685 g0 more, 14 %',
      si: 5.685 * 9.80665,
      by: 0.685 * 9.80665,
      target: 'peak g at most 5 g0',
      settings: heronSettings(93, 57),
    },
    {
      text: 'apoapsis within 75.1 km to 110 km',
      change: 'lower end 24.9 km less, 25 %',
      si: 75.1e3,
      by: -24.9e3,
      target: 'apoapsis within 100 km to 110 km',
      settings: heronSettings(81, 52),
    },
  ],
  widenings: [],
}

/** The same asked for too much. */
export const conflict: Answer = answer({
  sheet: 'Heron 3, a hybrid sounding rocket',
  outcome: 'conflict',
  optimum: null,
  conflict: {
    sets: [conflictSet],
    whole: true,
    targets: conflictSet.targets,
    evidence: 'searched',
    mends: conflictSet.mends,
    compromise: {
      quantities: heronLevers(94, 53),
      targets: [
        target('must', 'liftoff ratio at least 2', 1.8612, [2, null]),
        target('must', 'peak g at most 5 g0', 5.358, [null, 5], 'g0'),
        target('must', 'apoapsis within 100 km to 110 km', 101.432, [100, 110], 'km'),
        target('must', 'max q at most 70 kPa', 47.1, [null, 70], 'kPa'),
      ],
    },
  },
  targets: [
    target('must', 'liftoff ratio at least 2', 1.8612, [2, null]),
    target('must', 'peak g at most 5 g0', 5.358, [null, 5], 'g0'),
    target('must', 'apoapsis within 100 km to 110 km', 101.432, [100, 110], 'km'),
    target('must', 'max q at most 70 kPa', 47.1, [null, 70], 'kPa'),
  ],
  tried: 'all 5,041 steps flown or ruled out',
  work: { flights: 812, milliseconds: 96 },
})

/** A flight that escapes: an infinite apoapsis meets any `at least` and breaks any `at most`. */
export const escaping: Answer = answer({
  sheet: 'Over the edge of a small world',
  quantities: {
    'burn share': quantity('lever', 87.5, '%', { pinned: true }),
    apoapsis: { ...quantity('figure', null, 'km'), si: 'infinity', text: 'infinite' },
  },
  targets: [
    target('must', 'apoapsis at least 300 km', 'infinity', [300, null], 'km'),
    target('could', 'apoapsis at most 900 km', 'infinity', [null, 900], 'km'),
    target('should', 'apoapsis time at most 600 s', null, [null, 600], 's', {
      reason: 'the flight has no highest point',
    }),
  ],
  aims: [{ text: 'roomiest', si: null }],
  flights: { leap: 'escapes' },
  work: { flights: 9, milliseconds: 1.62 },
})

/** Limits of nothing, and single values: margins over a scale of their own. */
export const zeroLimit: Answer = answer({
  sheet: 'Trim of a fin, to nothing',
  optimum: 'proved',
  quantities: { ballast: quantity('lever', 0.42, 'kg'), moment: quantity('figure', 0.00031, 'N*m') },
  targets: [
    target('must', 'moment at least 0 N*m', 0.00031, [0, null], 'N*m', { scale: 0.02 }),
    target('should', 'moment equal to 0 N*m ± 0.001 N*m', 0.00031, [-0.001, 0.001], 'N*m'),
    target('could', 'ballast equal to 0.42 kg', 0.42, [0.42, 0.42], 'kg', { met: true, atLimit: true }),
    target('could', 'air temperature at most -5 degC', -7.5, [null, -5], 'degC'),
  ],
})

/** A sheet that leaves nothing to set. */
export const noLevers: Answer = answer({
  sheet: 'What the motor gives',
  optimum: 'proved',
  quantities: {
    thrust: quantity('fact', 250, 'kN'),
    'thrust over weight': quantity('figure', 2.9663, '', { description: 'common practice check value' }),
    'a figure with a rather long name that reaches past its column': quantity('figure', 12, 'm'),
    'side wind drift': { ...quantity('figure', null, 'm'), reason: 'no wind is given' },
  },
  work: { flights: 0, milliseconds: 0.21 },
})

export const unsure: Answer = answer({
  sheet: 'A long search',
  outcome: 'unsure',
  optimum: null,
  tried: '32 starts, the nearest miss 0.4 % of a limit; 8 levers have too many steps to fly them all',
  quantities: heronLevers(94, 53),
  work: { flights: 1204, milliseconds: 1530 },
})
