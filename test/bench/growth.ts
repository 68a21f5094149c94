import { readFileSync } from 'node:fs'
import { openSheet, type Sheet } from '../../sheets/index.ts'
import { type Direction, fly, type StageNumbers } from '../../solver/flight/index.ts'
import { directionOf, heronPlan } from '../support/vehicles.ts'
import { turns } from './rounds.ts'

// How cost grows: each row's work against the row before it, interleaved, so that whatever else the machine does falls on both.

/** One size of a growing job. */
interface Size {
  readonly count: number
  readonly work: () => void
  /** What else is told of it. */
  readonly told?: string
}

/** Prints a table: the size, its time, how many times the row before, and how many times more there is. */
function table(title: string, unit: string, sizes: readonly Size[], pairs: number, warm: number): void {
  console.log(`\n${title}\n`)
  console.log(`| ${unit} | time | over the row before | ${unit} over the row before | |`)
  console.log('| ---: | ---: | ---: | ---: | --- |')
  for (const [k, { count, work, told = '' }] of sizes.entries()) {
    const before = sizes[k - 1]
    const works = { now: work, before: before?.work ?? work }
    turns(works, warm)
    const times = turns(works, pairs)
    const time = times.now >= 10 ? `${times.now.toFixed(0)} ms` : `${times.now.toPrecision(2)} ms`
    const grown = before
      ? [`${(times.now / times.before).toFixed(2)} ×`, `${(count / before.count).toFixed(2)} ×`]
      : ['', '']
    console.log(`| ${count.toLocaleString('en')} | ${time} | ${grown.join(' | ')} | ${told} |`)
  }
}

/** The Heron's flight with exact derivatives for one lever to eight. */
function flightsByLevers(): void {
  const plan = heronPlan(0.92, 0.61)
  const rates: readonly Partial<StageNumbers>[] = [
    { propellantMass: 300 },
    { throttleCap: 1 },
    { dryMass: 165 },
    { referenceArea: 0.125 },
    { vacuumThrust: 17500 },
    { seaLevelThrust: 15400 },
    { exhaustSpeed: 2373 },
  ]
  const all: readonly Direction[] = [
    ...rates.map(rate => directionOf(rate, plan)),
    { ...directionOf({}, plan), launchAltitude: 1000 },
  ]
  const sizes = [1, 2, 3, 4, 5, 6, 7, 8].map(count => {
    const directions = all.slice(0, count)
    const work = (): void => {
      for (let i = 0; i < 20; i++) fly(plan, directions, 'tight')
    }
    return { count, work }
  })
  table('Twenty flights with exact derivatives for so many levers', 'levers', sizes, 40, 30)
}

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

/** The Heron sheet with more and more of its facts made levers, each within a few per cent. */
function solvesByLevers(): void {
  const facts = [
    ['dry mass          = 165 kg', 'dry mass from 160 kg to 170 kg in steps of 1 kg'],
    ['drag coefficient  = 0.42', 'drag coefficient from 0.4 to 0.44 in steps of 0.01'],
    ['reference area    = 0.125 m^2', 'reference area from 0.12 m^2 to 0.13 m^2 in steps of 0.001 m^2'],
    ['vacuum thrust     = 17.5 kN', 'vacuum thrust from 17.3 kN to 17.7 kN in steps of 0.1 kN'],
    ['sea level thrust  = 15.4 kN', 'sea level thrust from 15.2 kN to 15.6 kN in steps of 0.1 kN'],
    ['specific impulse  = 242 s', 'specific impulse from 240 s to 244 s in steps of 1 s'],
  ] as const
  const one = heron.replace(/^lever throttle cap.*$/m, 'fact throttle cap = 61 %')
  const sheets = [one, ...facts.map((_, k) => k), facts.length].map(it =>
    typeof it === 'string'
      ? it
      : facts.slice(0, it).reduce((text, [fact, lever]) => text.replace(`fact  ${fact}`, `lever ${lever}`), heron),
  )
  const sizes = sheets.map((text, k) => {
    const sheet = openSheet(text)
    const answer = sheet.solve()
    return {
      count: k + 1,
      work: () => void sheet.solve(),
      told: `${answer.outcome}, ${answer.work.flights.toFixed(0)} flights’ worth`,
    }
  })
  table('A solve of the Heron sheet with so many levers in steps', 'levers', sizes, 3, 1)
}

/** The Heron sheet with one target to two hundred, all of which can be met and few of which are near. */
function solvesByTargets(): void {
  const figures = [
    'max q at most %s kPa',
    'peak g at most %s g0',
    'apoapsis at least %s km',
    'max speed at least %s m/s',
  ]
  const limits = [70, 6, 95, 900]
  const away = [1, 0.1, -1, -5]
  const sizes = [1, 2, 5, 10, 20, 50, 100, 200].map(count => {
    const targets = Array.from({ length: count }, (_, k) => {
      const [which, turn] = [k % 4, Math.floor(k / 4)]
      return `must ${figures[which]!.replace('%s', (limits[which]! + turn * away[which]!).toFixed(1))}`
    })
    const sheet = openSheet(
      `${heron
        .split('\n')
        .filter(line => !/^(must|should)/.test(line))
        .join('\n')}\n${targets.join('\n')}\n`,
    )
    const answer = sheet.solve()
    return {
      count,
      work: () => void sheet.solve(),
      told: `${answer.outcome}, ${answer.work.flights.toFixed(0)} flights’ worth`,
    }
  })
  table('A solve of the Heron sheet with so many musts', 'targets', sizes, 15, 5)
}

/** A chain of figures with the shortest names: 50,000 of them are as much as a sheet of 1 MB holds. */
function chainOf(length: number): string {
  const name = (k: number): string => `q${k.toString(36)}`
  return [
    'fact a = 1',
    'figure q0=a',
    ...Array.from({ length: length - 1 }, (_, k) => `figure ${name(k + 1)}=${name(k)}+a`),
  ].join('\n')
}

function figures(): void {
  const counts = [10, 100, 1000, 10_000, 50_000]
  const texts = counts.map(chainOf)
  table(
    'A sheet of so many figures opened',
    'figures',
    texts.map((text, k) => ({ count: counts[k]!, work: () => void openSheet(text).at({}) })),
    5,
    2,
  )
  let a = 1
  const again = (sheet: Sheet) => (): void => void sheet.solve({ set: { a: a++ } })
  table(
    'One fact changed in it, and answered whole',
    'figures',
    texts.map((text, k) => ({ count: counts[k]!, work: again(openSheet(text)) })),
    9,
    5,
  )
}

/** Prints how cost grows with levers, targets and figures. */
export function growth(): void {
  flightsByLevers()
  solvesByLevers()
  solvesByTargets()
  figures()
}
