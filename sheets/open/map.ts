import { error, OUTSIDE, type Problem } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { type MapLine, mapOf, mapSolving, type Range, rememberOf, type TradeMap } from '../../solver/index.ts'
import { type MapAnswer, type MapPlace, type MapRequest, MOST_CELLS } from '../map-answer.ts'
import { unitFor } from './answer-quantities.ts'
import type { Compiled } from './compiled.ts'
import type { Found } from './find.ts'
import { mapGround } from './map-ground.ts'
import { settingsAt } from './mend.ts'
import type { Opened } from './opened.ts'
import { didYouMean } from './scope.ts'
import type { Session } from './session.ts'
import type { Settings } from './setting.ts'
import { soundSession } from './solve.ts'

/** Cells each way where none are asked for, and the step in which they are counted. */
const CELLS = 200
const SOLVED_CELLS = 48
const COARSE = 8
/** Contours of the first aim, about. */
const CONTOURS = 6

/** The trade map of two levers, the others held where the sheet is solved. */
export function mapAnswer(
  compiled: Compiled | null,
  opened: Opened,
  name: string,
  request: MapRequest,
  {
    find,
    elapsed,
  }: { readonly find: (session: Session, set: Settings, stopped: boolean) => Found; readonly elapsed: () => number },
): MapAnswer {
  const nothing = (problems: readonly Problem[]): MapAnswer => empty(opened.title || name, problems, elapsed())
  if (!compiled) return nothing(opened.problems)
  const { session, problems, wrong } = soundSession(compiled, request.set ?? {})
  if (wrong) return nothing(problems)
  const axes = axesOf(session, request)
  if (!Array.isArray(axes)) return nothing([...problems, axes as Problem])
  const found = find(session, request.set ?? {}, request.stopped ?? false)
  const x = found.result.x
  if (!x) return nothing([...problems, noPlace()])
  const [across, up] = axes as Axes
  const others = session.state.free.length > 2 && request.others === 'solve' ? {} : othersHeld(session, axes as Axes, x)
  const map = traced(found, axes as Axes, others, request)
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
    others,
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

const FREE_A_LEVER = 'Give a fact a range instead of a value: then it is a lever.'

function noPlace(): Problem {
  return error(
    OUTSIDE,
    'No setting of the levers gives every target a value, so there is nothing to map.',
    'The answer to the sheet says of each target why it has none.',
  )
}

/** Places of the two levers in `program.levers`. */
type Axes = readonly [number, number]

/** The levers asked for, or the first two in the order of the sheet. */
function axesOf(session: Session, { across, up }: MapRequest): Axes | Problem {
  const { compiled, state } = session
  const { info } = compiled.reading.opened
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
      OUTSIDE,
      `"${each}" is no lever that is free here, so it cannot be an axis of the map.`,
      didYouMean(each, free.map(name)) ?? (free.length > 0 ? `Free here: ${free.map(name).join(', ')}.` : FREE_A_LEVER),
    )
  }
  if (asked[0] !== undefined && asked[0] === asked[1])
    return error(
      OUTSIDE,
      `A map needs two levers; "${asked[0]}" is asked for twice.`,
      'Name another lever for one of the two.',
    )
  const taken = asked.map(each => free.find(lever => name(lever) === each))
  const rest = free.filter(lever => !taken.includes(lever))
  const [first, second] = taken.map(lever => lever ?? rest.shift())
  if (first === undefined || second === undefined)
    return error(
      OUTSIDE,
      free.length === 0
        ? 'A map needs two free levers; this sheet has none.'
        : 'A map needs two free levers; only one is free here.',
      FREE_A_LEVER,
    )
  return [first, second]
}

/** The settings at which every lever but the two axes is held. */
function othersHeld(session: Session, axes: Axes, x: Float64Array): MapAnswer['others'] {
  const { info } = session.compiled.reading.opened
  const names = axes.map(lever => info[session.compiled.program.levers[lever]!]!.name)
  return Object.fromEntries(Object.entries(settingsAt(session, x)).filter(([name]) => !names.includes(name)))
}

/** The map with the others held, or solved anew at each place where there are some and none is held. */
function traced({ session, widths }: Found, axes: Axes, others: MapAnswer['others'], request: MapRequest): TradeMap {
  const { state } = session
  if (state.free.length > 2 && Object.keys(others).length === 0) {
    const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
    return mapSolving(state, ranges, widths, axes, cellsOf(request.cells, SOLVED_CELLS))
  }
  const pins = Object.fromEntries(Object.entries(others).map(([name, { si }]) => [name, si]))
  const held = soundSession(session.compiled, { ...request.set, ...pins }).session
  const ranges = [...held.state.free].map(lever => held.ranges[lever]!.range)
  const first = held.state.free[0] === axes[0] ? 0 : 1
  const { memory = null } = request
  if (memory) rememberOf(memory, mapGround(session.compiled.reading.opened, held.state))
  const grid = { across: first, cells: cellsOf(request.cells, CELLS), aims: CONTOURS } as const
  return mapOf(held.state, ranges, widths, grid, memory)
}

/** A whole number of coarse cells. */
function cellsOf(asked: number | undefined, usual: number): number {
  const cells = Math.round((asked ?? usual) / COARSE) * COARSE
  return Math.min(MOST_CELLS, Math.max(COARSE, Number.isFinite(cells) ? cells : usual))
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
