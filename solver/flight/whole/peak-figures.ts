import { tellsMach } from '../tells.ts'
import { type Trace, worstRatio } from './crew.ts'
import type { FlightFigure, StageFigure } from './figures.ts'
import type { Peak, PeakSet } from './records.ts'
import type { Way } from './way.ts'

/** The peaks of one burn and of the coast after it. */
export interface Phase {
  readonly burning: PeakSet
  readonly coasting: PeakSet
}

/** The largest of some peaks. */
function largest(phases: readonly Phase[], phase: keyof Phase, what: 'felt' | 'q'): Peak {
  let best = phases[0]![phase][what]!
  for (let k = 1; k < phases.length; k++) {
    const peak = phases[k]![phase][what]!
    if (peak.value > best.value) best = peak
  }
  return best
}

function larger(a: Peak, b: Peak): Peak {
  return b.value > a.value ? b : a
}

/** A peak's derivatives; one never taken is 0 whatever the levers. */
function slopesOf({ value, slopes }: Peak): (lane: number) => number {
  return l => (value < 0 ? 0 : slopes[l]!)
}

/** Peaks by phase, and the largest of all. */
export function putPeaks({ ledger, schedule, plan }: Way, phases: readonly Phase[], window: PeakSet): void {
  const put = (name: FlightFigure, peak: Peak): void => ledger.put(name, Math.max(0, peak.value), slopesOf(peak))
  for (let k = 0; k < phases.length; k++) {
    const { burning, coasting } = phases[k]!
    const { stage } = schedule.burns[k]!
    const putOwn = (name: StageFigure, peak: Peak): void =>
      ledger.putStage(stage, name, Math.max(0, peak.value), slopesOf(peak))
    putOwn('peak g burning', burning.felt!)
    putOwn('peak g coasting', coasting.felt!)
    putOwn('max q burning', burning.q!)
    putOwn('max q coasting', coasting.q!)
  }
  const [feltBurning, feltCoasting] = [largest(phases, 'burning', 'felt'), largest(phases, 'coasting', 'felt')]
  const [qBurning, qCoasting] = [largest(phases, 'burning', 'q'), largest(phases, 'coasting', 'q')]
  put('peak g burning', feltBurning)
  put('peak g coasting', feltCoasting)
  put('max q burning', qBurning)
  put('max q coasting', qCoasting)
  put('peak g', larger(feltBurning, feltCoasting))
  const q = larger(qBurning, qCoasting)
  put('max q', q)
  if (q.value >= 0) ledger.put('max q altitude', q.altitude, l => q.altitudeSlopes[l]!)
  put('max speed', window.speed!)
  if (window.heat) put('peak heat flux', window.heat)
  if (window.mach!.value >= 0 && tellsMach(plan.body)) put('max mach', window.mach!)
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
