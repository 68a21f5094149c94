import { error, type Problem } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { type MapLine, mapOf, type Range } from '../../solver/index.ts'
import type { MapAnswer, MapPlace, MapRequest } from '../map-answer.ts'
import { unitFor } from './answer-quantities.ts'
import { find } from './find.ts'
import { settingsAt } from './mend.ts'
import type { Opened } from './opened.ts'
import { didYouMean } from './scope.ts'
import type { Compiled, Session } from './session.ts'
import { soundSession } from './solve.ts'

/** Cells each way where none are asked for, and the step in which they are counted. */
const CELLS = 200
const COARSE = 8
const MOST_CELLS = 2000
/** Contours of the first aim, about. */
const CONTOURS = 6

/** The trade map of two levers, the others held where the sheet is solved. */
export function mapAnswer(
  compiled: Compiled | null,
  opened: Opened,
  name: string,
  request: MapRequest,
  elapsed: () => number,
): MapAnswer {
  const nothing = (problems: readonly Problem[]): MapAnswer => empty(opened.title || name, problems, elapsed())
  if (!compiled) return nothing(opened.problems)
  const { session, problems, wrong } = soundSession(compiled, request.set ?? {})
  if (wrong) return nothing(problems)
  const axes = axesOf(session, request)
  if (!Array.isArray(axes)) return nothing([...problems, axes as Problem])
  const found = find(session)
  const x = found.result.x
  if (!x) return nothing([...problems, noPlace()])
  const held = holdOthers(session, axes as Axes, x, request)
  const [across, up] = axes as Axes
  const first = held.session.state.free[0] === across ? 0 : 1
  const ranges = [...held.session.state.free].map(lever => held.session.ranges[lever]!.range)
  const cells = cellsOf(request.cells)
  const map = mapOf(held.session.state, ranges, found.widths, { across: first, cells, aims: CONTOURS })
  const at = (lever: number): number => x[[...session.state.free].indexOf(lever)]!
  const here: MapPlace = [at(across), at(up)]
  const solved = found.result.outcome === 'solved'
  const range = (lever: number): Range => session.ranges[lever]!.range
  const info = (lever: number) => opened.info[compiled.program.levers[lever]!]!
  return {
    sheet: opened.title || name,
    outcome: found.result.outcome,
    across: info(across).name,
    up: info(up).name,
    region: map.region,
    wanted: map.wanted,
    lines: map.lines.map(line => lineAnswer(session, line)),
    solution: solved ? here : null,
    compromise: solved ? null : here,
    settings: map.settings,
    ranges: { across: endsOf(range(across)), up: endsOf(range(up)) },
    units: { across: info(across).lever!.written.unit.text, up: info(up).lever!.written.unit.text },
    steps: { across: stepOf(range(across)), up: stepOf(range(up)) },
    pad: map.pad,
    aim: aimOf(session, map.aim),
    others: held.settings,
    problems,
    work: { flights: map.flown, milliseconds: elapsed() },
  }
}

function empty(sheet: string, problems: readonly Problem[], milliseconds: number): MapAnswer {
  return {
    sheet,
    outcome: 'faulty',
    across: '',
    up: '',
    region: [],
    wanted: [],
    lines: [],
    solution: null,
    compromise: null,
    settings: [],
    ranges: { across: [0, 0], up: [0, 0] },
    units: { across: '', up: '' },
    steps: { across: null, up: null },
    pad: [],
    aim: null,
    others: {},
    problems,
    work: { flights: 0, milliseconds },
  }
}

function noPlace(): Problem {
  return error(
    { line: 1, column: 1, length: 1 },
    'No setting of the levers gives every target a value, so there is nothing to map.',
  )
}

/** Places of the two levers in `program.levers`. */
type Axes = readonly [number, number]

/** The levers asked for, or the first two in the order of the sheet. */
function axesOf(session: Session, { across, up }: MapRequest): Axes | Problem {
  const { compiled, state } = session
  const { info } = compiled.reading.opened
  const place = { line: 1, column: 1, length: 1 }
  const free = [...state.free].sort(
    (a, b) => info[compiled.program.levers[a]!]!.span.line - info[compiled.program.levers[b]!]!.span.line,
  )
  const name = (lever: number): string => info[compiled.program.levers[lever]!]!.name
  const asked = [across, up].map(each =>
    each === undefined ? undefined : each.normalize('NFC').trim().replace(/\s+/g, ' '),
  )
  for (const each of asked) {
    if (each === undefined || free.some(lever => name(lever) === each)) continue
    return error(
      place,
      `"${each}" is no lever that is free here, so it cannot be an axis of the map.`,
      didYouMean(each, free.map(name)),
    )
  }
  if (asked[0] !== undefined && asked[0] === asked[1])
    return error(place, `A map needs two levers; "${asked[0]}" is asked for twice.`)
  const taken = asked.map(each => free.find(lever => name(lever) === each))
  const rest = free.filter(lever => !taken.includes(lever))
  const [first, second] = taken.map(lever => lever ?? rest.shift())
  if (first === undefined || second === undefined)
    return error(
      place,
      free.length === 0
        ? 'A map needs two free levers; this sheet has none.'
        : 'A map needs two free levers; only one is free here.',
      'Give a fact a range instead of a value: then it is a lever.',
    )
  return [first, second]
}

/** A session with every lever but the two axes pinned where the sheet is solved. */
function holdOthers(session: Session, axes: Axes, x: Float64Array, { set = {} }: MapRequest) {
  const settings = settingsAt(session, x)
  const { info } = session.compiled.reading.opened
  const names = axes.map(lever => info[session.compiled.program.levers[lever]!]!.name)
  const others = Object.fromEntries(Object.entries(settings).filter(([name]) => !names.includes(name)))
  const pins = Object.fromEntries(Object.entries(others).map(([name, { si }]) => [name, si]))
  return { session: soundSession(session.compiled, { ...set, ...pins }).session, settings: others }
}

/** A whole number of coarse cells. */
function cellsOf(asked: number | undefined): number {
  const cells = Math.round((asked ?? CELLS) / COARSE) * COARSE
  return Math.min(MOST_CELLS, Math.max(COARSE, Number.isFinite(cells) ? cells : CELLS))
}

function endsOf({ from, to }: Range): MapPlace {
  return [from, to]
}

function stepOf({ settings }: Range): number | null {
  return settings && settings.length > 1 ? settings[1]! - settings[0]! : null
}

function lineAnswer({ state, compiled }: Session, { target, side, points }: MapLine): MapAnswer['lines'][number] {
  return {
    target: compiled.reading.opened.targets[target]!.text,
    level: state.program.targets[target]!.level,
    end: side === 1 ? 'high' : 'low',
    points,
  }
}

function aimOf(
  { compiled }: Session,
  contours: readonly { value: number; points: readonly MapPlace[] }[],
): MapAnswer['aim'] {
  const { aims, info } = compiled.reading.opened
  const told = aims[0]
  if (!told || contours.length === 0) return null
  const like = told.id === null ? null : info[told.id]!
  return {
    text: told.text,
    contours: contours.map(({ value, points }) => {
      const unit = unitFor({ dimension: told.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null }, value)
      return { si: value, text: formatQuantity(value, unit, 4), points }
    }),
  }
}
