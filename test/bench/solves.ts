import { openSheet } from '../../sheets/index.ts'
import { median, type Probe, row, type Times, timed, turns } from './rounds.ts'
import type { Optimiser } from './yardsticks.ts'

/** SciPy made so many flights for a solve where the marks were set. */
const FLIGHTS = 18

/** A solve of the Heron sheet, warm, and what stands about it. */
export function solves(heron: string): readonly Probe[] {
  const sheet = openSheet(heron)
  // Warm: the engine goes on compiling what a solve runs through for some three thousand of them.
  for (let k = 0; k < 4000; k++) sheet.solve()
  let step = 0
  const at = () => sheet.at({ 'fuel fraction': 0.92, 'throttle cap': 0.6 + (step++ % 100) * 1e-4 })
  for (let k = 0; k < 3000; k++) at()
  const ten = (): void => {
    for (let k = 0; k < 10; k++) at()
  }
  const { work } = sheet.solve()
  // Each by itself: solves between openings find neither the caches nor the garbage of solves.
  return [
    {
      look: () => turns({ solve: () => void sheet.solve() }, 100),
      rows: times => [
        row('Heron solved, open and warm', times.solve!, 2, 'ms', ['at most', 2]),
        row('Heron solved, flights’ worth of work', work.flights, 1, '', ['at most', 60]),
        row('Heron solves a second', 1000 / times.solve!, 0, ''),
      ],
    },
    {
      look: () => turns({ open: () => void openSheet(heron) }, 40),
      rows: times => [row('Heron opened anew, warm', times.open!, 2, 'ms')],
    },
    {
      look: () => turns({ ten }, 20),
      rows: times => [row('Heron at other lever values (`at`), each a tight flight', times.ten! * 100, 1, 'µs')],
    },
  ]
}

/** How much sooner a solve is done than SciPy does it. */
export function sooner(heron: string, optimiser: Optimiser | null): readonly Probe[] {
  const what = '… faster than SciPy’s SLSQP over its RK45, without steps'
  if (!optimiser) return [{ look: () => ({}), rows: () => [{ what, figure: 'needs python3 with SciPy' }] }]
  const sheet = openSheet(heron)
  const [, flights, ...theirs] = optimiser(1)[0]!
  const { quantities } = sheet.solve()
  const ours = [Number(quantities['fuel fraction']!.si), Number(quantities['throttle cap']!.si)]
  const look = (): Times => ({
    theirs: median(optimiser(4).map(([time]) => time)),
    ours: median(Array.from({ length: 60 }, () => timed(() => sheet.solve()))),
  })
  return [
    {
      look,
      rows: times => {
        const over = times.theirs! / times.ours!
        return [
          row(what, over, 0, '×', ['at least', 40]),
          row(`… by ${FLIGHTS} of its flights, as where the mark was set`, (over * FLIGHTS) / flights, 0, '×'),
          row('… its flights', flights, 0, ''),
          { what: '… its settings', figure: settings(theirs) },
          { what: '… ours, in steps', figure: settings(ours) },
        ]
      },
    },
  ]
}

/** What it costs to say why not: sets, mends and ranges, against a solve of the sheet that can be had. */
export function conflicts(heron: string): readonly Probe[] {
  const had = heron.replace('should apoapsis', 'must apoapsis')
  const [can, cannot] = [openSheet(had), openSheet(had.replace('6 g0', '5 g0'))]
  const works = { explain: () => void cannot.solve().conflict!.sets, solve: () => void can.solve() }
  turns(works, 20)
  const answer = cannot.solve()
  const sets = answer.conflict!.sets.length
  const flights = answer.work.flights + answer.work.explaining!.flights
  return [
    {
      look: () => turns(works, 3),
      rows: times => [
        row('Heron with a conflict: sets, mends, ranges', times.explain!, 0, 'ms'),
        row('… over a solve', times.explain! / times.solve!, 1, '×', ['at most', 30]),
        row(`… flights’ worth of work (${sets} set)`, flights, 0, ''),
      ],
    },
  ]
}

export function maps(heron: string): readonly Probe[] {
  const sheet = openSheet(heron)
  const works = { map: () => void sheet.map() }
  turns(works, 8)
  const { flights } = sheet.map().work
  return [
    {
      look: () => turns(works, 3),
      rows: times => [
        row('Heron’s trade map, 200 × 200 cells', times.map!, 0, 'ms', ['at most', 150]),
        row('… points flown', flights, 0, ''),
      ],
    },
  ]
}

/** Chains of figures, each reading the one before. */
export function chains(): readonly Probe[] {
  return [1000, 10_000].map(length => {
    const text = chain(length)
    const sheet = openSheet(text)
    let a = 1
    const works = {
      open: () => void openSheet(text).at({}),
      change: () => {
        for (let k = 0; k < 10; k++) sheet.solve({ set: { a: a++ } })
      },
    }
    turns(works, 2)
    const marked = length === 10_000
    const name = `a chain of ${length.toLocaleString('en')} figures`
    return {
      look: () => turns(works, 1),
      rows: times => [
        row(`${name} opened`, times.open!, 0, 'ms', marked ? ['at most', 500] : undefined),
        row(`… one fact changed, whole answer`, times.change! / 10, 2, 'ms', marked ? ['at most', 5] : undefined),
      ],
    }
  })
}

function chain(length: number): string {
  return [
    'fact a = 1',
    'figure f0 = a + 1',
    ...Array.from({ length: length - 1 }, (_, i) => `figure f${i + 1} = f${i} * 1.000001 + a / 1000`),
  ].join('\n')
}

function settings(pair: readonly number[]): string {
  return pair.map(value => `${(100 * value).toFixed(1)} %`).join(', ')
}
