import { describe, expect, test } from 'vitest'
import { wholeFault } from '../../solver/flight/whole/fault.ts'
import { figureNames } from '../../solver/flight/whole/figures.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import type { Canopy, WholePlan } from '../../solver/flight/whole/plan.ts'
import { whyNoneWhole } from '../../solver/flight/whole/why.ts'
import { MOON } from '../../solver/flight/worlds.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { heronPlan, planOf } from '../support/vehicles.ts'
import { stageLike, wholeOf } from '../support/whole.ts'

const heron = heronPlan(0.92, 0.61)
const stage = stageLike(heron.stages[0]!)
const two = [stage({ propellantMass: 150 }), stage({ dryMass: 40, propellantMass: 0 })]
const canopy = (numbers: Partial<Canopy>): Canopy => ({
  area: 5,
  altitude: 2000,
  fillTime: 1,
  safeQ: Number.POSITIVE_INFINITY,
  safeSpeed: Number.POSITIVE_INFINITY,
  ...numbers,
})
const names = { stages: [{ name: 'Booster' }, { name: 'Capsule' }], canopies: [{ name: 'Drogue' }, { name: 'Main' }] }

describe('a whole plan that no flight has is told in words, with the part that it is about', () => {
  test.each<[string | null, Partial<WholePlan>]>([
    [null, {}],
    [null, { stages: two, canopies: [canopy({}), canopy({ fillTime: 0, area: 0 })] }],
    ['the dry mass is not above zero', { stages: [stage({ dryMass: 0 })] }],
    ['the dry mass is not above zero (Capsule)', { stages: [two[0]!, stage({ dryMass: 0 })] }],
    ['the launch altitude is not a finite number (Booster)', { stages: two, launchAltitude: Number.NaN }],
    ['a delay of "Booster" is below zero', { stages: [stage({ separationDelay: -1 })] }],
    ['a delay of "Capsule" is below zero', { stages: [two[0]!, stage({ ignitionDelay: -1 })] }],
    ['the rail elevation is not above 0 deg and at most 90 deg', { railElevation: 0 }],
    ['the rail elevation is not above 0 deg and at most 90 deg', { railElevation: 1.6, railLength: 5 }],
    ['the rail length is below zero', { railLength: -1 }],
    ['a rail that leans needs a length above zero', { railElevation: 1.5 }],
    [null, { railElevation: 1.5, railLength: 3, noseRadius: 0 }],
    ['the nose radius is below zero', { noseRadius: -1 }],
    ['the canopy of "Main" has an area or coefficient below zero', { canopies: [canopy({}), canopy({ area: -1 })] }],
    ['the opening altitude of "Drogue" is not a finite number', { canopies: [canopy({ altitude: Number.NaN })] }],
    ['the fill time of "Drogue" is below zero', { canopies: [canopy({ fillTime: -1 })] }],
    ['the safe q of "Main" is not above zero', { canopies: [canopy({}), canopy({ safeQ: 0 })] }],
    ['the safe speed of "Drogue" is not above zero', { canopies: [canopy({ safeSpeed: 0 })] }],
  ])('%s', (fault, changes) => {
    // A nose of NaN is none: only a plan that tells one is asked for it.
    expect(wholeFault(wholeOf(heron, { noseRadius: 0.1, ...changes }), names)).toBe(fault)
  })
})

describe('why a whole flight has no value for a figure', () => {
  /** Figures without a value with their reasons, each reason once with the figures that it is told of. */
  function reasons(plan: WholePlan): Record<string, string[]> {
    const { outcome, figures } = flyWholeAt(plan, [], 1e-8, 'with what it drops', null)
    const told: Record<string, string[]> = {}
    figureNames(plan.stages.length, plan.canopies.length).forEach((figure, k) => {
      if (!Number.isNaN(figures[k]!)) return
      const part = figure.of === 'flight' ? '' : ` of ${figure.of} ${figure.index}`
      const why = whyNoneWhole(figure, plan, outcome)
      told[why] = [...(told[why] ?? []), `${figure.name}${part}`]
    })
    return told
  }
  test('of a flight to the ground with all there is', () => {
    const plan = wholeOf(heron, {
      stages: two,
      canopies: [canopy({}), canopy({ altitude: -5 }), canopy({ altitude: 9e5 })],
    })
    const told = reasons(plan)
    expect(told['this flight has no rail']).toEqual(['rail exit speed'])
    expect(told['no nose radius is given']).toEqual([
      'peak heat flux',
      'heat load',
      'entry heat flux',
      'entry heat load',
    ])
    expect(told['no crew limit is given']).toEqual(['ascent crew margin', 'entry crew margin', 'crew margin'])
    expect(told['the flight hits the ground before it may open']).toHaveLength(5)
    expect(told['it has no propellant']).toContain('burn time of stage 1')
    expect(told['this stage is not dropped in this flight']).toEqual([
      'downrange of stage 1',
      'flight time of stage 1',
      'touchdown speed of stage 1',
    ])
  })
  test('of one that stays, escapes, or goes where no air is', () => {
    expect(Object.keys(reasons(wholeOf(planOf({ throttleCap: 0.05 }), { railLength: 3 })))).toEqual([
      'the rocket never leaves the pad',
    ])
    const away = reasons(wholeOf(planOf({}, { radius: 2e5, gravity: 0.5, air: null })))
    expect(away['the rocket escapes, so there is no highest point and no way down']).toContain('touchdown speed')
    expect(away['the flight stays where no air tells it']).toEqual(
      expect.arrayContaining(['max mach', 'max q altitude']),
    )
    const moon = reasons(wholeOf(planOf({ propellantMass: 90 }, MOON), { noseRadius: 0.2, railLength: 1e7 }))
    expect(moon["the heating constant of this body's air is not known"]).toContain('heat load')
    expect(moon['the rail is not run to its end']).toEqual(['rail exit speed'])
    expect(Object.keys(reasons(wholeOf(planOf({ drag: constantCurve(1e300) }))))).toEqual([
      'this flight could not be integrated to the asked accuracy: its numbers are too extreme, or its drag coefficient jumps so far at a mach number that the rocket is held there',
    ])
  })
  test('of what has not happened, by outcome alone', () => {
    const plan = wholeOf(heron, { stages: two, canopies: [canopy({})], noseRadius: 0.2, heating: 1e-4 })
    const why = (name: string, of: 'flight' | 'stage' | 'canopy', index: number, outcome = 'comes down'): string =>
      whyNoneWhole({ name, of, index }, plan, outcome)
    expect(why('burnout speed', 'stage', 0)).toBe('it does not burn out before touchdown')
    expect(why('burn time', 'flight', 0)).toBe('nothing burns out before touchdown')
    expect(why('gravity loss', 'flight', 0)).toBe('nothing burns out before touchdown')
    expect(why('touchdown speed', 'flight', 0, 'goes into orbit')).toBe('the flight does not come down')
    expect(why('entry heat flux', 'flight', 0)).toBe('this flight has no entry heat flux')
    expect(why('opening g', 'canopy', 0)).toBe('it never opens in this flight')
    expect(why('entry g', 'flight', 0)).toBe('this flight has no such figure')
  })
})
