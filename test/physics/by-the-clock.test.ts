import { describe, expect, test } from 'vitest'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import type { WholePlan } from '../../solver/flight/whole/plan.ts'
import { scheduleOf } from '../../solver/flight/whole/schedule.ts'
import type { Observer } from '../../solver/flight/whole/way.ts'
import { pchip } from '../../solver/model/curve.ts'
import { planOf } from '../support/vehicles.ts'
import { stageLike, wholeOf } from '../support/whole.ts'

// A motor is lit when its time has come, whatever lies just behind that moment.

const KNOTS = [0, 0.8, 1.1, 1.5, 2, 3]
const drag = pchip(KNOTS, [0.3, 0.32, 0.6, 0.5, 0.4, 0.3])
const booster = planOf({ dryMass: 120, propellantMass: 180, vacuumThrust: 12000, exhaustSpeed: 2400 })
const like = stageLike(booster.stages[0]!)

/** Two stages, the upper one lit so long after the lower has burnt out. */
function plan(ignitionDelay: number): WholePlan {
  const upper = like({ drag, dryMass: 40, propellantMass: 30, vacuumThrust: 1500, seaLevelThrust: 1300, ignitionDelay })
  return wholeOf(booster, { stages: [like({ drag }), upper] })
}

function follow(it: WholePlan, tolerance: number, told: Partial<Observer>): void {
  flyWholeAt(it, [], tolerance, 'to apoapsis', { event() {}, coast() {}, step() {}, ...told })
}

describe('a general flight lights a motor on time', () => {
  const burnout = scheduleOf(plan(0), []).appointments[0]!.at.value
  const meetings: number[] = []
  follow(plan(1e4), 1e-10, {
    step: (_craft, _from, to) => {
      if (to.time > burnout && KNOTS.some(knot => Math.abs(to.mach - knot) < 1e-12)) meetings.push(to.time)
    },
  })
  test('and meets knots of its drag table as it coasts', () => expect(meetings.length).toBeGreaterThan(2))

  test.each([1e-6, 1e-8, 1e-10])('however soon before such a knot, at a tolerance of %d', tolerance => {
    for (const meeting of meetings) {
      for (let soon = 0.3; soon > 1e-6; soon *= 0.6) {
        const it = plan(meeting - burnout - soon)
        const due = scheduleOf(it, []).appointments.find(({ kind }) => kind === 'ignition')!.at.value
        let lit = Number.NaN
        follow(it, tolerance, {
          event: (name, _craft, point, stage) => {
            if (name === 'ignition' && stage === 1) lit = point.time
          },
        })
        expect(Math.abs(lit - due), `${soon} s before ${meeting} s`).toBeLessThan(1e-12 * due)
      }
    }
  })
})
