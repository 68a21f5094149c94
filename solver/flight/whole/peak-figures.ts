import { tellsMach } from '../fly.ts'
import type { Plan } from '../plan.ts'
import { type Trace, worstRatio } from './crew.ts'
import type { FlightFigure } from './figures.ts'
import type { Peak, PeakSet } from './records.ts'
import type { Way } from './way.ts'

/** The peaks of one burn and of the coast after it. */
export interface Phase {
  readonly burning: PeakSet
  readonly coasting: PeakSet
}

/** Peaks by phase, and the largest of all. */
export function putPeaks({ ledger, schedule, plan }: Way, phases: readonly Phase[], window: PeakSet): void {
  const put = (name: FlightFigure, peak: Peak | null): void => {
    if (peak) ledger.put(name, Math.max(0, peak.value), l => (peak.value < 0 ? 0 : peak.slopes[l]!))
  }
  const largest = (peaks: readonly Peak[]): Peak =>
    peaks.reduce((best, peak) => (peak.value > best.value ? peak : best))
  const pick = (phase: keyof Phase, what: 'felt' | 'q'): Peak[] => phases.map(each => each[phase][what]!)
  phases.forEach((phase, index) => {
    const { stage } = schedule.burns[index]!
    for (const [name, peak] of [
      ['peak g burning', phase.burning.felt],
      ['peak g coasting', phase.coasting.felt],
      ['max q burning', phase.burning.q],
      ['max q coasting', phase.coasting.q],
    ] as const)
      ledger.putStage(stage, name, Math.max(0, peak!.value), l => (peak!.value < 0 ? 0 : peak!.slopes[l]!))
  })
  put('peak g burning', largest(pick('burning', 'felt')))
  put('peak g coasting', largest(pick('coasting', 'felt')))
  put('max q burning', largest(pick('burning', 'q')))
  put('max q coasting', largest(pick('coasting', 'q')))
  put('peak g', largest([...pick('burning', 'felt'), ...pick('coasting', 'felt')]))
  const q = largest([...pick('burning', 'q'), ...pick('coasting', 'q')])
  put('max q', q)
  if (q.value >= 0) ledger.put('max q altitude', q.altitude, l => q.altitudeSlopes[l]!)
  put('max speed', window.speed)
  put('peak heat flux', window.heat)
  if (window.mach!.value >= 0 && tellsMach({ body: plan.body } as Plan)) put('max mach', window.mach)
}

/** The crew margins of what was felt on the way up and down. */
export function putCrewMargins({ plan, ledger, descend }: Way, climb: Trace, fall: Trace): void {
  const { crewLimit, entryCrewLimit } = plan
  const up = crewLimit && worstRatio(climb, crewLimit)
  const down = entryCrewLimit && worstRatio(fall, entryCrewLimit)
  if (up) ledger.put('ascent crew margin', up.value, l => up.slopes[l]!)
  if (!descend) return
  if (down) ledger.put('entry crew margin', down.value, l => down.slopes[l]!)
  const worse = up && down ? (up.value <= down.value ? up : down) : (up ?? down)
  if (worse) ledger.put('crew margin', worse.value, l => worse.slopes[l]!)
}
