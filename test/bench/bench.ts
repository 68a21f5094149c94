import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { openSheet } from '../../sheets/index.ts'
import { ownFolder } from '../support/folders.ts'
import { benchFlight } from './flight.ts'
import { growth } from './growth.ts'
import { median, ratio, timed } from './ratio.ts'
import { benchOptimiser, type Yardsticks, yardsticks } from './yardsticks.ts'

const heronText = readFileSync('sheets/examples/heron.loft', 'utf8')

/** Prints one line: what, the figure, the mark it must reach. */
function row(what: string, figure: string, mark: string): void {
  console.log(`${what.padEnd(58)} ${figure.padStart(24)}   ${mark}`)
}

function solves(tools: Yardsticks): void {
  const sheet = openSheet(heronText)
  // Warm: the engine goes on compiling what a solve runs through for some three thousand of them.
  for (let i = 0; i < 4000; i++) sheet.solve()
  const time = median(Array.from({ length: 200 }, () => timed(() => sheet.solve())))
  const opening = median(Array.from({ length: 200 }, () => timed(() => openSheet(heronText))))
  row('Heron opened anew, warm', `${opening.toFixed(2)} ms`, '')
  row('Heron solved, open and warm', `${time.toFixed(2)} ms`, '≤ 2 ms')
  row('Heron solved, flights’ worth of work', sheet.solve().work.flights.toFixed(1), '≤ 60')
  row('Heron solves a second', (1000 / time).toFixed(0), '')
  benchOptimiser(row, tools, () => {
    const { quantities } = sheet.solve()
    return [Number(quantities['fuel fraction']!.si), Number(quantities['throttle cap']!.si)]
  })
  let step = 0
  const at = () => sheet.at({ 'fuel fraction': 0.92, 'throttle cap': 0.6 + (step++ % 100) * 1e-4 })
  for (let i = 0; i < 3000; i++) at()
  row(
    'Heron at other lever values (`at`), each a tight flight',
    `${(timed(() => Array.from({ length: 1000 }, at))).toFixed(1)} µs`,
    '',
  )
}

/** What it costs to say why not: sets, mends and ranges, against a solve of the sheet that can be had. */
function conflicts(): void {
  const had = heronText.replace('should apoapsis', 'must apoapsis')
  const hard = had.replace('6 g0', '5 g0')
  const [can, cannot] = [openSheet(had), openSheet(hard)]
  const explain = (): void => void cannot.solve().conflict!.sets
  for (let i = 0; i < 20; i++) {
    can.solve()
    explain()
  }
  const { ratio: times, a } = ratio(explain, () => void can.solve(), 9, 1)
  row('Heron with a conflict: sets, mends, ranges', `${a.toFixed(0)} ms`, '')
  row('… over a solve', `${times.toFixed(1)} ×`, '≤ 30 ×')
  const answer = cannot.solve()
  const sets = answer.conflict!.sets.length
  row(`… flights’ worth of work (${sets} set)`, (answer.work.flights + answer.work.explaining!.flights).toFixed(0), '')
}

function maps(): void {
  const sheet = openSheet(heronText)
  for (let i = 0; i < 8; i++) sheet.map()
  const time = median(Array.from({ length: 9 }, () => timed(() => sheet.map())))
  row('Heron’s trade map, 200 × 200 cells', `${time.toFixed(0)} ms`, '≤ 150 ms')
  row('… points flown', `${sheet.map().work.flights}`, '')
}

/** A chain of figures, each reading the one before. */
function chain(length: number): string {
  return [
    'fact a = 1',
    'figure f0 = a + 1',
    ...Array.from({ length: length - 1 }, (_, i) => `figure f${i + 1} = f${i} * 1.000001 + a / 1000`),
  ].join('\n')
}

function chains(): void {
  for (const length of [1000, 10_000]) {
    const text = chain(length)
    const open = median(Array.from({ length: 5 }, () => timed(() => openSheet(text).at({}))))
    const sheet = openSheet(text)
    let a = 1
    for (let i = 0; i < 20; i++) sheet.solve({ set: { a: a++ } })
    const again = median(Array.from({ length: 50 }, () => timed(() => sheet.solve({ set: { a: a++ } }))))
    row(
      `a chain of ${length.toLocaleString('en')} figures opened`,
      `${open.toFixed(0)} ms`,
      length === 10_000 ? '≤ 500 ms' : '',
    )
    row(
      `a chain of ${length.toLocaleString('en')} figures, one fact changed, whole answer`,
      `${again.toFixed(2)} ms`,
      length === 10_000 ? '≤ 5 ms' : '',
    )
  }
}

function coldStart(): void {
  if (!existsSync('dist/loftsheet.cjs')) {
    row('command line, cold start to answer', 'not built', 'npm run build first')
    return
  }
  const run = (args: readonly string[]) => () => void execFileSync(process.execPath, args, { stdio: 'ignore' })
  const { ratio: times, a } = ratio(
    run(['dist/loftsheet.cjs', 'solve', 'sheets/examples/heron.loft']),
    run(['-e', '0']),
    7,
    1,
  )
  row('command line, cold start to answer', `${a.toFixed(0)} ms`, '≤ 350 ms')
  row('… over Node’s own start', `${times.toFixed(2)} ×`, '')
}

/** 12,000 variants by the command as it is built, over two workers. */
function manyVariants(): void {
  if (!existsSync('dist/loftsheet.cjs')) {
    row('12,000 Heron variants, two workers', 'not built', 'npm run build first')
    return
  }
  const folder = ownFolder('bench')
  const sheet = join(folder, 'family.loft')
  writeFileSync(
    sheet,
    `${heronText}
variants
  each dry mass from 140 kg to 179 kg in steps of 1 kg
  each drag coefficient from 0.3 to 0.595 in steps of 0.005
  each peak g over 5.5 g0, 6 g0, 6.5 g0, 7 g0, 8 g0
`,
  )
  const words = ['variants', sheet, '--workers', '2', '--quiet', '--out', join(folder, 'family.csv')]
  const time = timed(() => void execFileSync(process.execPath, ['dist/loftsheet.cjs', ...words], { stdio: 'ignore' }))
  row('12,000 Heron variants, two workers, start and all', `${(12_000_000 / time).toFixed(0)} a second`, '≥ 1,000')
}

if (process.argv.includes('--growth')) growth()
else {
  const tools = yardsticks()
  benchFlight(row, tools)
  if (!process.argv.includes('--flights')) {
    solves(tools)
    conflicts()
    maps()
    chains()
    coldStart()
    manyVariants()
  }
}
