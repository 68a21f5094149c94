import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { all, create } from 'mathjs'
import { decimalToSI } from '../../grammar/units/unit.ts'
import { openSheet } from '../../sheets/index.ts'
import { FLOWN, type FlownName, fly, leavesPad, type Plan } from '../../solver/flight/index.ts'
import { us76 } from '../../solver/flight/us76.ts'
import { solveLinear } from '../../solver/linear/index.ts'
import { curveAt, pchip } from '../../solver/model/curve.ts'
import { compile, start } from '../../solver/network/index.ts'
import { rows as factors, siUnit, WRITTEN } from '../language/factors.ts'
import { unit } from '../language/unit-of.ts'
import { closedParts, figure, lever, model } from '../support/closed-flight.ts'
import { expressions, mathText, SMOOTH } from '../support/expressions.ts'
import { askHighs } from '../support/highs.ts'
import { cases } from '../support/linear-programs.ts'
import { referenceFlight } from '../support/reference-flight.ts'
import { referenceWhole } from '../support/reference-whole.ts'
import { heronPlan, randomPlan } from '../support/vehicles.ts'
import { flown } from '../support/whole.ts'
import { type AirRow, airRows } from './air-rows.ts'
import { ASCENTS, HERON_BY_SCIPY } from './ascents.ts'
import { BURNS, burnPlan, COASTS, coastPlan, RISES, risePlan } from './closed-forms.ts'
import { CURVES } from './curves.ts'
import { canopyPlan, ENTRIES, entryPeak, TERMINAL } from './descents.ts'
import { AEROBEE, MR3, MR4, type Published } from './documented-flights.ts'
import { VOYAGES } from './voyages.ts'

/** A comparison with something outside the project: what, by whom, how many numbers, and the largest relative difference among them. */
export interface Check {
  readonly compared: string
  readonly source: string
  readonly differences: () => readonly number[] | Promise<readonly number[]>
}

/** |ours − theirs| over theirs, or over 1 where theirs is smaller. */
const apart = (ours: number, theirs: number): number => Math.abs(ours - theirs) / Math.max(1, Math.abs(theirs))
const share = (ours: number, theirs: number): number => Math.abs(ours / theirs - 1)

function ascent(plan: Plan): (name: FlownName) => number {
  const { figures } = fly(plan, [], 'tight')
  return name => figures[FLOWN.indexOf(name)]!
}

function air(file: string, column: (row: AirRow, name: string) => string | undefined): number[] {
  return airRows(file).flatMap(row => {
    // The last row is the top: a hair below it there is air, at it none.
    const state = us76(1000 * Number(row.Z_km) - (file.includes('upper') ? 1e-3 : 0))
    return [
      [state.pressure, column(row, 'p_Pa')] as const,
      [state.density, column(row, 'rho_kg_m3')] as const,
      ...(file.includes('upper') ? [] : [[state.temperature, column(row, 'T_K')] as const]),
    ].flatMap(([ours, theirs]) => (theirs ? [share(ours, Number(theirs))] : []))
  })
}

function closedForms(): number[] {
  return [
    ...BURNS.flatMap(it => {
      const at = ascent(burnPlan(it))
      return [
        share(at('burnout speed'), it.speed),
        share(at('burnout altitude'), it.altitude),
        share(at('apoapsis'), it.apex),
        share(at('apoapsis time'), it.time),
        share(at('peak g') / 9.80665, it.felt),
      ]
    }),
    ...COASTS.map(([speed, height]) => share(ascent(coastPlan(speed))('apoapsis'), height)),
    ...RISES.flatMap(it => {
      const at = ascent(risePlan(it))
      return [
        share(at('burnout speed'), it.speed),
        share(at('burnout altitude'), it.altitude),
        share(at('apoapsis'), it.apex),
      ]
    }),
  ]
}

function ascents(): number[] {
  const invented = Array.from({ length: 16 }, (_, k) => randomPlan(k)).filter(leavesPad)
  return [...ASCENTS.map(([, plan]) => plan), ...invented].flatMap(plan => {
    const at = ascent(plan)
    const { outcome: _, ...figures } = referenceFlight(plan)
    return Object.entries(figures)
      .filter(([, value]) => Number.isFinite(value))
      .map(([name, value]) => apart(at(name as FlownName), value))
  })
}

/** Peaks are left out: the second program takes them as the largest of samples. */
function voyages(): number[] {
  return VOYAGES.flatMap(([, plan]) => {
    const ours = flown(plan)
    return Object.entries(referenceWhole(plan))
      .filter(([name]) => !/peak g|max q|entry|opening g/.test(name))
      .map(([name, value]) => {
        const opening = /^(opening .*) (\d)$/.exec(name)
        return apart(opening ? ours.at(opening[1]!, Number(opening[2]), 'canopy') : ours.at(name), value)
      })
  })
}

function documented({ sheet, published }: { readonly sheet: string; readonly published: Published }): number[] {
  const { quantities } = openSheet(sheet).solve()
  return Object.entries(published).map(([name, [value]]) => share(quantities[name]!.si as number, value))
}

function unitFactors(): number[] {
  return factors
    .filter(({ name }) => !name.includes('(reading)'))
    .map(({ name, factor, si }) => share(decimalToSI('1', unit(WRITTEN[name]!)), decimalToSI(factor, unit(siUnit(si)))))
}

function curves(): number[] {
  return CURVES.flatMap(({ x, y, values }) => {
    const curve = pchip(x, y)
    return values.map((value, k) => apart(curveAt(curve, x[0]! + ((x.at(-1)! - x[0]!) * (k + 1)) / 8), value))
  })
}

/** Values and slopes of expressions made up by chance, always the same ones. */
function calculus(): number[] {
  const math = create(all!, { relTol: 1e-300, absTol: 1e-300 })
  const levers = [lever('x0', -3, 3), lever('x1', -3, 3), lever('x2', -3, 3)]
  const x = [0.713, -1.207, 2.363] as const
  const ask = (text: string): number[] => {
    const value: unknown = math.evaluate(text, { x0: x[0], x1: x[1], x2: x[2] })
    return typeof value === 'number' && Math.abs(value) < 1e9 ? [value] : []
  }
  return fc.sample(expressions(3, SMOOTH, 3), { numRuns: 400, seed: 1 }).flatMap(expr => {
    const state = start(compile(model([...levers, figure('f', expr)]), closedParts()))
    state.evaluateAlgebra(Float64Array.from(x), true)
    const ours = state.valueOf(3)
    if (!(Math.abs(ours) < 1e6) || state.slopes.steep !== -1) return []
    const slopes = x.map((_, l) =>
      ask(math.derivative(mathText(expr), `x${l}`, { simplify: false }).toString()).map(
        slope => Math.abs(state.slopesOf(3)[l]! - slope) / Math.max(1, Math.abs(slope), Math.abs(ours)),
      ),
    )
    return [...ask(mathText(expr)).map(value => apart(ours, value)), ...slopes.flat()]
  })
}

async function linearPrograms(): Promise<number[]> {
  const ask = await askHighs()
  return fc.sample(cases, { numRuns: 200, seed: 1 }).flatMap(({ system, goals }) => {
    const { x } = solveLinear(system, goals.slice(0, 1))
    const { status, value } = ask(system, goals[0]!)
    if (!x || status !== 'Optimal') return []
    return [
      apart(
        goals[0]!.at.reduce((sum, j, k) => sum + goals[0]!.by[k]! * x[j]!, 0),
        value,
      ),
    ]
  })
}

/** The Heron sheet against a look at every one of its settings, and without its steps against a general optimiser. */
function settings(): number[] {
  const text = readFileSync('sheets/examples/heron.loft', 'utf8')
  const free = openSheet(text.replaceAll(' in steps of 1 %', '')).solve()
  const si = (name: string): number => free.quantities[name]!.si as number
  return [share(si('fuel fraction'), 0.91946), share(si('throttle cap'), 0.61179)]
}

function everySetting(): number[] {
  const sheet = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8'))
  const { quantities } = sheet.solve()
  const all = Array.from({ length: 71 * 71 }, (_, i) => [30 + Math.floor(i / 71), 30 + (i % 71)] as const)
  const wanted = all.filter(([load, cap]) => {
    const at = sheet.at({ 'fuel fraction': load / 100, 'throttle cap': cap / 100 })
    const musts = at['liftoff ratio']! >= 2 && at['peak g']! <= 6 * 9.80665 && at['max q']! <= 70e3
    return musts && at.apoapsis! >= 100e3 && at.apoapsis! <= 110e3
  })
  const [load, cap] = wanted.reduce((best, it) => (it[0] < best[0] ? it : best))
  return [
    share(quantities['fuel fraction']!.si as number, load / 100),
    share(quantities['throttle cap']!.si as number, cap / 100),
  ]
}

const heronAt = ascent(heronPlan(0.92, 0.61))

export const CHECKS: readonly Check[] = [
  {
    compared: 'air from the sea to 86 km: pressure, density, temperature',
    source: 'U.S. Standard Atmosphere 1976 (NASA-TM-X-74335), its own constants worked out to 7 figures',
    differences: () => air('us76_lower_0_86km.csv', (row, name) => (Number(row.Z_km) > 80 ? '' : row[`${name}_calc`])),
  },
  {
    compared: 'air from 86 to 1000 km: pressure, density',
    source: 'the same standard’s printed table',
    differences: () => air('us76_upper_86_1000km.csv', (row, name) => row[`${name}_table`]),
  },
  {
    compared: 'burns and coasts that have a formula',
    source: 'Sutton & Biblarz, Rocket Propulsion Elements, ch. 4; two-body energy; rise in uniform air',
    differences: closedForms,
  },
  {
    compared: 'the Heron’s flight',
    source: 'SciPy’s DOP853 at 1e-13, a program of its own',
    differences: () => HERON_BY_SCIPY.map(([name, value]) => share(heronAt(name), value)),
  },
  {
    compared: 'every figure of straight ascents, on Earth and elsewhere',
    source: 'the equations written a second time, integrated by odex',
    differences: ascents,
  },
  {
    compared: 'whole flights: rails, stages, parachutes, other worlds',
    source: 'written a second time in other coordinates, integrated by odex',
    differences: voyages,
  },
  {
    compared: 'peak g of entries',
    source: 'Allen & Eggers, NACA Report 1381 (1958)',
    differences: () =>
      ENTRIES.map(([speed, angle, ballistic, peak]) => share(entryPeak(speed, angle, ballistic), peak)),
  },
  {
    compared: 'touchdown speed under a canopy',
    source: 'Knacke, NWC TP 6575, ch. 5',
    differences: () => [share(flown(canopyPlan()).at('touchdown speed'), TERMINAL)],
  },
  {
    compared: 'the flights of MR-3 and MR-4 (apogee fitted)',
    source: 'NSSDC and the mission reports, partly second-hand',
    differences: () => [...documented(MR3), ...documented(MR4)],
  },
  {
    compared: 'apogee of the Aerobee 150 with 68 kg',
    source: 'National Air and Space Museum; drag by NASA TM X-55123',
    differences: () => documented(AEROBEE),
  },
  {
    compared: 'the sizes of units',
    source: 'NIST SP 811 (2008), appendix B.8',
    differences: unitFactors,
  },
  { compared: 'curves through a table', source: 'SciPy’s PchipInterpolator', differences: curves },
  {
    compared: 'values and slopes of expressions made up by chance',
    source: 'mathjs, by symbolic differentiation',
    differences: calculus,
  },
  {
    compared: 'linear programs made up by chance: the least value',
    source: 'HiGHS, the University of Edinburgh’s solver',
    differences: linearPrograms,
  },
  {
    compared: 'the Heron’s settings',
    source: 'a look at all 5,041 of them',
    differences: everySetting,
  },
  {
    compared: 'the Heron’s settings without steps',
    source: 'SciPy’s SLSQP over RK45, printed to 5 figures',
    differences: settings,
  },
]

/** As it stands in the table: 0, or one figure rounded up. */
function told(worst: number): string {
  if (worst === 0) return 'none'
  const power = Math.floor(Math.log10(worst))
  const figure = Math.ceil(worst / 10 ** power - 1e-6)
  const [mantissa, exponent] = figure === 10 ? [1, power + 1] : [figure, power]
  if (exponent >= -3) return `${Number((mantissa * 10 ** (exponent + 2)).toPrecision(1))} %`
  return `${mantissa}e${exponent}`
}

/** The table of all checks, in Markdown. */
export async function checkTable(): Promise<string> {
  const lines = ['| what | compared with | numbers | worst difference |', '| --- | --- | ---: | ---: |']
  for (const { compared, source, differences } of CHECKS) {
    const found = await differences()
    lines.push(`| ${compared} | ${source} | ${found.length} | ${told(Math.max(...found))} |`)
  }
  return lines.join('\n')
}
