import { TOLERANCES } from '../../solver/flight/fly.ts'
import { fly } from '../../solver/flight/index.ts'
import { FLOWN, type Plan } from '../../solver/flight/plan.ts'
import { FLIGHT_FIGURES } from '../../solver/flight/whole/figures.ts'
import { flyWhole, flyWholeAt, type Reach } from '../../solver/flight/whole/fly.ts'
import type { WholeStage } from '../../solver/flight/whole/plan.ts'
import { flyStack } from '../../solver/flight/whole/stack.ts'
import { wholeOf } from '../support/whole.ts'
import { forEach, HERONS, quickWork } from './flight.ts'
import { type Probe, row, turns } from './rounds.ts'

const ONE = HERONS[0]!
/** Seconds from ignition to apoapsis. */
const RISE = at(fly(ONE, [], 'tight').figures)

/** The general flight against the quick ascent: how many steps and right-hand sides each takes, and what one costs. */
export function generalFlights(): readonly Probe[] {
  const fall = flyWhole(wholeOf(ONE), [], 'tight', 'to the ground').figures[FLIGHT_FIGURES.indexOf('flight time')]!
  return [
    general('the same ascent by the general flight', 'to apoapsis', RISE),
    general('a general flight to the ground', 'to the ground', fall),
  ]
}

function general(what: string, reach: Reach, seconds: number): Probe {
  // About as long as the quick ones it is compared with, so that whatever else the machine does interrupts neither more often.
  const works = {
    general: forEach(
      HERONS.map(plan => wholeOf(plan)),
      4,
      plan => void flyWhole(plan, [], 'tight', reach),
    ),
    quick: forEach(HERONS, 16, plan => void fly(plan, [], 'tight')),
  }
  turns(works, 1000)
  const quick = quickWork(ONE)
  const { sides, steps } = generalWork(ONE, reach)
  return {
    look: () => turns(works, 60),
    rows: times => {
      const over = (4 * times.general!) / times.quick!
      return [
        row(what, over, 2, '×'),
        row('… its right-hand sides', sides, 0, ''),
        row('… its steps', steps, 0, ''),
        row('… one right-hand side, all told', (times.general! * 250_000) / sides, 0, 'ns'),
        row('… over the quick ascent’s, each right-hand side', (over * quick.sides) / sides, 2, '×'),
        row('… each second of flight', (times.general! * 250) / seconds, 3, 'µs'),
        row('… over the quick ascent’s, each second of flight', (over * RISE) / seconds, 2, '×', [
          'at most',
          2,
          'our own',
        ]),
      ]
    },
  }
}

/** Stages straight up, which the quick ascent follows, against one stage of as much, second by second. */
export function stagesStraightUp(): readonly Probe[] {
  const stage = ONE.stages[0]!
  const upper = { vacuumThrust: 3500, seaLevelThrust: 3000, throttleCap: 1, referenceArea: 0.07 }
  return [
    stack('a booster with a capsule that it drops', [
      { ...stage, dryMass: 125, ...waits(5, 0) },
      { ...stage, dryMass: 40, propellantMass: 0, ...waits(0, 0) },
    ]),
    stack('two stages', [
      { ...stage, dryMass: 120, propellantMass: 250, ...waits(2, 0) },
      { ...stage, ...upper, dryMass: 30, propellantMass: 60, ...waits(0, 3) },
    ]),
  ]
}

function stack(what: string, stages: NonNullable<Parameters<typeof wholeOf>[1]>['stages']): Probe {
  const plan = wholeOf(ONE, { stages: stages! })
  const flown = flyStack(plan, [], 'tight')!
  const works = {
    general: forEach([plan], 8, each => void flyWhole(each, [], 'tight', 'to apoapsis')),
    stack: forEach([plan], 16, each => void flyStack(each, [], 'tight')),
    quick: forEach([ONE], 16, each => void fly(each, [], 'tight')),
  }
  turns(works, 500)
  return {
    look: () => turns(works, 40),
    rows: times => {
      const over = times.stack! / times.quick!
      return [
        row(`${what}, straight up`, over, 2, '×'),
        row('… its right-hand sides', flown.evaluations, 0, ''),
        row('… by the general flight, over that', (2 * times.general!) / times.stack!, 2, '×'),
        row('… over one stage’s ascent, each second of flight', (over * RISE) / at(flown.figures), 2, '×'),
      ]
    },
  }
}

function at(figures: Float64Array): number {
  return figures[FLOWN.indexOf('apoapsis time')]!
}

function waits(separationDelay: number, ignitionDelay: number): Pick<WholeStage, 'separationDelay' | 'ignitionDelay'> {
  return { separationDelay, ignitionDelay }
}

function generalWork(plan: Plan, reach: Reach): { readonly sides: number; readonly steps: number } {
  let steps = 0
  const step = (): void => void steps++
  const none = (): void => undefined
  const { evaluations } = flyWholeAt(wholeOf(plan), [], TOLERANCES.tight, reach, { step, event: none, coast: none })
  return { sides: evaluations, steps }
}
