import { readFileSync } from 'node:fs'

// Documented flights as sheets, and what was published of them. A point mass over a round body that does not turn knows no winds, no vanes and no
// retrorockets; each tolerance says what that leaves open.

const G0 = 9.80665

/** Published value [SI] and how far off a flight may be. */
export type Published = Readonly<Record<string, readonly [value: number, within: number]>>

/**
 * A Mercury-Redstone by its published numbers: gross 66,000 lb, 78,000 lbf at sea level, spacecraft about 1,230 kg at entry, heat shield 1.892 m,
 * main parachute 63 ft opened at 10,000 ft (sources and conflicts: NSSDC pages MERCR3 and MERCR4, SP-4201, S-6 specification; partly second-hand). Not
 * published, and chosen here: the drag of capsule and tower on the booster, thrust in vacuum (some 391 kN reproduces the ascent's g), and
 * the pitch programme, whose last angle is set so that the apogee is about right: what is tested is that everything else then comes out.
 */
function redstone(vacuumThrust: string, lastAngle: string): string {
  return `table pitch program of time
  0 s 90 deg
  16 s 90 deg
  50 s 79 deg
  100 s 61 deg
  141.8 s ${lastAngle}
table stack drag of mach
  0 0.6
  0.8 0.7
  1.2 1.4
  2 1.0
  4 0.6
  8 0.6
flight hop from Earth
  pitch = pitch program
  crew limit = launch crew limit
  entry crew limit = return crew limit
  stage booster
    dry mass         = 29937 kg - 23340 kg - 1230 kg
    propellant mass  = 23340 kg
    vacuum thrust    = ${vacuumThrust}
    sea level thrust = 347 kN
    rated burn time  = 141.8 s
    diameter         = 1.78 m
    drag coefficient = stack drag(mach)
    separation delay = 10 s
  stage capsule
    dry mass         = 1230 kg
    diameter         = 1.892 m
    drag coefficient = 1.5
  parachute drogue
    canopy area      = 2.6 m^2
    drag coefficient = 0.6
    opening altitude = 6.4 km
  parachute main
    canopy area      = 289.6 m^2
    drag coefficient = 0.75
    opening altitude = 3.048 km
    fill time        = 4 s
`
}

/** NSSDC MERCR3: 187.5 km (also 186.4), 487.3 km (483), 6 to 6.3 g up, 11.0 down ("slightly less than 12"), max q 27.5 to 28 kPa, drogue at 578 s,
 * main at 615 s, landing at 922 s, about 30 ft/s. Apogee is fitted; range and times are left 3 %: the Earth turned below, and retrorockets fired. */
export const MR3 = {
  sheet: redstone('391.5 kN', '52.5 deg'),
  published: {
    apoapsis: [187.5e3, 0.02],
    downrange: [487.3e3, 0.03],
    'peak g': [6.15 * G0, 0.04],
    'entry g': [11.0 * G0, 0.05],
    'max q': [27.75e3, 0.08],
    'opening time of drogue': [578, 0.03],
    'opening time of main': [615, 0.03],
    'flight time': [922, 0.03],
    // Under a canopy whose drag coefficient is only known within a tenth.
    'touchdown speed': [9.1, 0.06],
  },
} as const

/** NSSDC MERCR4: 190.3 km (also 189), 486.15 km (483), 11.1 g, 15 min 37 s. */
export const MR4 = {
  sheet: redstone('392 kN', '54 deg'),
  published: {
    apoapsis: [190.3e3, 0.02],
    downrange: [486.15e3, 0.03],
    'entry g': [11.1 * G0, 0.05],
    'flight time': [937, 0.03],
  },
} as const

// The drag of the coasting sustainer: chart in NASA TM X-55123 (1965), appendix A fig. 1, as digitised; below mach 2 and with the motor on it is not known.
const chart = readFileSync('test/physics/data/aerobee150a_cd_mach.csv', 'utf8')
  .split('\n')
  .filter(line => line.startsWith('sustainer power off,'))
  .map(line => line.split(',').slice(1).map(Number) as [number, number])

const rows = chart.filter((_, k) => k % 5 === 0 || k === chart.length - 1)

/** 68.1 kg to 274 km (National Air and Space Museum). Masses and motors are from memory of NASA TR R-226 and TM X-55123; straight up from 1.2 km. An
 * eighth: drag with the motor on is higher than that of the chart, and the tower leaned a few degrees. */
export const AEROBEE = {
  sheet: `table booster drag of mach
  0.1 0.4473
  0.8 0.4660
  1.2 0.65
  8 0.5
table sustainer drag of mach
  0.1 0.45
  0.8 0.47
  1.2 0.65
${rows.map(([mach, cd]) => `  ${mach} ${cd}`).join('\n')}
  8 ${chart.at(-1)![1]}
flight climb from Earth
  rail length     = 45 m
  launch altitude = 1.2 km
  stage booster
    dry mass         = 150 kg
    propellant mass  = 118 kg
    vacuum thrust    = 80 kN
    rated burn time  = 2.5 s
    diameter         = 0.38 m
    drag coefficient = booster drag(mach)
  stage sustainer
    dry mass         = 120 kg + 68.1 kg
    propellant mass  = 487 kg
    vacuum thrust    = 20.4 kN
    sea level thrust = 18.2 kN
    rated burn time  = 51.8 s
    diameter         = 0.38 m
    drag coefficient = sustainer drag(mach)
`,
  published: { apoapsis: [274e3, 0.125] },
} as const
