import type { Direction, Plan, StageNumbers } from '../../solver/flight/plan.ts'
import { type FigureName, figureNames } from '../../solver/flight/whole/figures.ts'
import { flyWholeAt, type WholeFlown } from '../../solver/flight/whole/fly.ts'
import type { Canopy, WholeDirection, WholePlan, WholeStage } from '../../solver/flight/whole/plan.ts'

const AT_ONCE = { separationDelay: 0, ignitionDelay: 0 }
const STILL: Omit<StageNumbers, 'drag'> = {
  dryMass: 0,
  propellantMass: 0,
  vacuumThrust: 0,
  seaLevelThrust: 0,
  exhaustSpeed: 0,
  throttleCap: 0,
  referenceArea: 0,
}

/** Makes stages like one that is not throttled and waits for nothing, with some numbers of their own. */
export function stageLike(stage: StageNumbers): (numbers: Partial<WholeStage>) => WholeStage {
  return numbers => ({ ...stage, throttleCap: 1, ...AT_ONCE, ...numbers })
}

/** A plan of one stage straight up as a whole flight's, with some of its numbers changed; more stages come on top. */
export function wholeOf(plan: Plan, changes: Partial<WholePlan> = {}): WholePlan {
  const stages = changes.stages ?? plan.stages.map((stage): WholeStage => ({ ...stage, ...AT_ONCE }))
  return {
    body: plan.body,
    launchAltitude: plan.launchAltitude,
    railElevation: Math.PI / 2,
    railLength: 0,
    noseRadius: Number.NaN,
    heating: Number.NaN,
    space: null,
    pitch: null,
    crewLimit: null,
    entryCrewLimit: null,
    shapes: stages.map(() => null),
    restarts: stages.map(stage => new Uint8Array(stage.drag.knots.length).fill(1)),
    canopies: [],
    ...changes,
    stages,
  }
}

/** One lever of a plan of one stage, as a whole flight's. */
export function wideDirection(direction: Direction): WholeDirection {
  const stages = direction.stages.map((stage): WholeStage => ({ ...stage, ...AT_ONCE }))
  return { ...direction, railElevation: 0, railLength: 0, noseRadius: 0, canopies: [], stages }
}

/** What one lever changes: of the flight, of its stages by place, of its canopies by place. */
export interface Lever {
  readonly flight?: Partial<WholeDirection>
  readonly stages?: Readonly<Record<number, Partial<WholeStage>>>
  readonly canopies?: Readonly<Record<number, Partial<Canopy>>>
}

export function leverOf(plan: WholePlan, lever: Lever): WholeDirection {
  return {
    launchAltitude: 0,
    railElevation: 0,
    railLength: 0,
    noseRadius: 0,
    ...lever.flight,
    stages: plan.stages.map(({ drag }, k) => ({
      ...STILL,
      ...AT_ONCE,
      drag: { knots: drag.knots, coefficients: new Float64Array(drag.coefficients.length) },
      ...lever.stages?.[k],
    })),
    canopies: plan.canopies.map((_, k) => ({
      area: 0,
      altitude: 0,
      fillTime: 0,
      safeQ: 0,
      safeSpeed: 0,
      ...lever.canopies?.[k],
    })),
  }
}

/** The plan with a lever moved by a step. */
export function moved(plan: WholePlan, lever: Lever, step: number): WholePlan {
  const by = leverOf(plan, lever)
  const add = <T extends object>(numbers: T, change: T): T =>
    Object.fromEntries(
      Object.entries(numbers).map(([key, value]) => {
        const rate = change[key as keyof T]
        return [key, typeof value === 'number' && typeof rate === 'number' && rate !== 0 ? value + step * rate : value]
      }),
    ) as T
  return {
    ...add<WholePlan>(plan, { ...plan, ...by, stages: plan.stages, canopies: plan.canopies, space: 0, heating: 0 }),
    stages: plan.stages.map((stage, k) => add(stage, by.stages[k]!)),
    canopies: plan.canopies.map((canopy, k) => add(canopy, by.canopies[k]!)),
  }
}

/** The place of a figure in a flight's output, by name and part. */
export function placeIn(
  plan: WholePlan,
  name: string,
  part: number | null = null,
  of: FigureName['of'] = 'stage',
): number {
  const place = figureNames(plan.stages.length, plan.canopies.length).findIndex(
    figure =>
      figure.name === name && (part === null ? figure.of === 'flight' : figure.of === of && figure.index === part),
  )
  if (place < 0) throw new Error(`no figure ${name}`)
  return place
}

/** A flight to the ground with its figures by name. */
export function flown(
  plan: WholePlan,
  tolerance = 1e-8,
): WholeFlown & { readonly at: (name: string, part?: number, of?: FigureName['of']) => number } {
  const it = flyWholeAt(plan, [], tolerance, 'with what it drops', null)
  return { ...it, at: (name, part, of) => it.figures[placeIn(plan, name, part ?? null, of)]! }
}
