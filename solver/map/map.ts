import type { MultiPolygon } from 'polygon-clipping'
import { allowanceOf, figureIn, marginIn } from '../conflict/judged.ts'
import type { Range } from '../model/model.ts'
import type { SearchProblem } from '../search/problem.ts'
import { type Line, Surface } from './surface.ts'
import { areaWhere, bordersOf, cut, frame, joined, type Place, type Rings, ringsOf } from './trace.ts'

/** Stepped settings inside are listed up to this many. */
const MOST_SETTINGS = 500
/** Settings within this share of a grid step of a limit are flown to tell. */
const DOUBT = 0.25

export interface MapRequest {
  /** Places of the two levers in the problem. */
  readonly across: 0 | 1
  /** Cells each way, a multiple of 8. */
  readonly cells: number
  /** How many contours of the first aim. */
  readonly aims: number
  /** Whether the problem tells slopes, by default true. */
  readonly sloped?: boolean
}

/** One target's limit as a line; of a band, an end. */
export interface MapLine {
  readonly target: number
  readonly side: 1 | -1
  readonly points: readonly Place[]
}

/** A trade map in SI: places are (across, up). */
export interface TradeMap {
  readonly region: Rings
  readonly wanted: Rings
  /** Where the rocket does not leave the pad. */
  readonly pad: Rings
  readonly lines: readonly MapLine[]
  readonly aim: readonly { readonly value: number; readonly points: readonly Place[] }[]
  readonly settings: readonly Place[]
  readonly flown: number
  readonly work: number
}

/** Traces the map of a problem with two levers. */
export function traceMap(problem: SearchProblem, { across, cells, aims, sloped = true }: MapRequest): TradeMap {
  const [a, b] = across === 0 ? problem.levers : [problem.levers[1]!, problem.levers[0]!]
  const grid = { cells, across: a!, up: b! }
  const surface = new Surface(problem, grid, across, sloped)
  const rasters = new Map<number, Float64Array>()
  const rasterOf = (row: number): Float64Array => {
    const known = rasters.get(row) ?? surface.raster(row)
    rasters.set(row, known)
    return known
  }
  const kept = new Map<Line, MultiPolygon>(
    surface.limits.map(line => [line, areaWhere(rasterOf(line.row), line.side, line.limit, cells)]),
  )
  const sides = problem.targets.flatMap((_, target) => sidesOf(surface.limits, kept, target, cells))
  const whole: MultiPolygon = [frame(cells)]
  /** Where the ends of all targets of a level are kept: nowhere, for one without an end on the map. */
  const keptOf = (level: string): readonly MultiPolygon[] =>
    problem.targets.flatMap((each, target) => {
      if (each.level !== level) return []
      const own = sides.filter(side => side.target === target).map(side => side.area)
      return own.length === 0 ? [[]] : own
    })
  const region = cut([whole, ...keptOf('must')], cells)
  const wanted = cut([region, ...keptOf('should')], cells)
  const place = placer(a!, b!, cells)
  const lift = surface.liftRaster()
  return {
    region: ringsOf(region).map(ring => ring.map(place)),
    wanted: ringsOf(wanted).map(ring => ring.map(place)),
    pad: lift ? ringsOf(areaWhere(lift, 1, 0, cells)).map(ring => ring.map(place)) : [],
    lines: sides
      .filter(({ target, side }) => problem.targets[target]!.kind !== 'equal to' || side === 1)
      .flatMap(({ target, side, area }) =>
        bordersOf(area, cells).map(points => ({ target, side, points: points.map(place) })),
      ),
    aim: aimContours(problem, rasterOf, cells, aims).map(({ value, points }) => ({
      value,
      points: points.map(place),
    })),
    settings: settingsInside(problem, surface, rasterOf, across),
    flown: surface.flown,
    work: surface.work,
  }
}

/** Grid steps to SI. */
function placer(across: Range, up: Range, cells: number): (at: Place) => Place {
  return ([x, y]) => [across.from + (x / cells) * (across.to - across.from), up.from + (y / cells) * (up.to - up.from)]
}

/** Where one end of a target's limit is kept. */
interface Side {
  readonly target: number
  readonly side: 1 | -1
  readonly area: MultiPolygon
}

/** The ends of a target's limit: `at most` for the largest of its rows is all of them, `at least` any of them. */
function sidesOf(
  limits: readonly Line[],
  kept: ReadonlyMap<Line, MultiPolygon>,
  target: number,
  cells: number,
): Side[] {
  return ([1, -1] as const).flatMap(side => {
    const own = limits.filter(line => line.target === target && line.side === side).map(line => kept.get(line)!)
    return own.length === 0 ? [] : [{ target, side, area: side === 1 ? cut(own, cells) : joined(own, cells) }]
  })
}

/** Contours of the first aim at even values. */
function aimContours(
  problem: SearchProblem,
  rasterOf: (row: number) => Float64Array,
  cells: number,
  count: number,
): { value: number; points: readonly Place[] }[] {
  const first = problem.aims[0]
  if (!first || first.sense === 'roomiest' || count < 1) return []
  const figure = problem.rows[first.row]!.figure
  const raster = rasterOf(first.row)
  const told = figure ? raster.map(figure) : raster
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const value of told) {
    if (!Number.isFinite(value)) continue
    low = Math.min(low, value)
    high = Math.max(high, value)
  }
  if (!(high > low)) return []
  const step = niceStep((high - low) / (count + 1))
  const values: number[] = []
  for (let k = Math.ceil(low / step); k * step <= high; k++) values.push(Number((k * step).toPrecision(12)))
  return values.flatMap(value => {
    const area = areaWhere(told, -1, value, cells)
    return bordersOf(area, cells).map(points => ({ value, points }))
  })
}

/** The 1, 2 or 5 times a power of ten next above. */
function niceStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least))
  return [1, 2, 5, 10].map(times => times * power).find(step => step >= least * (1 - 1e-9))!
}

/** A limit of a must, read from the raster of its row. `alone`: to be beyond it is to miss the target, whatever its other rows say. */
interface Border {
  readonly raster: Float64Array
  readonly side: 1 | -1
  readonly limit: number
  readonly alone: boolean
}

/** The stepped settings that meet every must, read from the surface, flown where that leaves a doubt; none where they are many. */
function settingsInside(
  problem: SearchProblem,
  surface: Surface,
  rasterOf: (row: number) => Float64Array,
  across: 0 | 1,
): readonly Place[] {
  const [first, second] = [problem.levers[0]!.settings, problem.levers[1]!.settings]
  if (!first || !second) return []
  const { cells, across: a, up: b } = surface.grid
  const borders = surface.limits
    .filter(line => problem.targets[line.target]!.level === 'must')
    .map(({ row, side, limit }): Border => {
      // Of several rows `at least` needs only one: only a flight tells.
      const alone = side === 1 || problem.targets.every(({ rows }) => !rows.includes(row) || rows.length === 1)
      return { raster: rasterOf(row), side, limit, alone }
    })
  const lanes = [first, second].map((settings, lane) => spotsOf(settings, lane === across ? a : b, cells))
  const found: Place[] = []
  for (const x of lanes[0]!)
    for (const y of lanes[1]!) {
      const [p, q] = across === 0 ? [x, y] : [y, x]
      const inside = readInside(borders, cells, p, q)
      if (inside === 'no' || (inside === 'doubt' && !flownInside(problem, Float64Array.of(x.value, y.value)))) continue
      if (found.push([p.value, q.value]) > MOST_SETTINGS) return []
    }
  return found
}

/** A setting on its axis of the grid: the cell that it lies in, and how far along it. */
interface Spot {
  readonly value: number
  readonly cell: number
  readonly share: number
}

function spotsOf(settings: Float64Array, { from, to }: Range, cells: number): readonly Spot[] {
  return Array.from(settings, value => {
    const steps = ((value - from) / (to - from)) * cells
    const cell = Math.min(cells - 1, Math.floor(steps))
    return { value, cell, share: steps - cell }
  })
}

/** Whether a setting keeps all limits, by straight lines between the places of the raster. */
function readInside(borders: readonly Border[], cells: number, across: Spot, up: Spot): 'yes' | 'no' | 'doubt' {
  const [s, t] = [across.share, up.share]
  const corner = up.cell * (cells + 1) + across.cell
  let doubt = false
  for (const { raster, side, limit, alone } of borders) {
    const c00 = raster[corner]!
    const c10 = raster[corner + 1]!
    const c01 = raster[corner + cells + 1]!
    const c11 = raster[corner + cells + 2]!
    const y = (1 - t) * ((1 - s) * c00 + s * c10) + t * ((1 - s) * c01 + s * c11)
    const reach = DOUBT * (Math.abs(c10 - c00) + Math.abs(c01 - c00) + Math.abs(c11 - c00))
    const beyond = side * (y - limit)
    if (!Number.isFinite(y) || Math.abs(beyond) <= reach) doubt = true
    else if (beyond > 0 && alone) return 'no'
    else if (beyond > 0) doubt = true
  }
  return doubt ? 'doubt' : 'yes'
}

function flownInside(problem: SearchProblem, x: Float64Array): boolean {
  const sample = problem.fly(x, 'tight', false)
  return problem.targets.every(
    target => target.level !== 'must' || marginIn(target, figureIn(problem, target, sample)) >= -allowanceOf(target),
  )
}
