import { decimalToSI, toSI } from '../../grammar/units/unit.ts'
import { type ConflictSet, explainConflict, type Widening } from '../../solver/index.ts'
import type { Compromise, ConflictAnswer, ConflictSetAnswer, WideningAnswer } from '../answer.ts'
import type { Found } from './find.ts'
import { mendAnswer, outward } from './mend.ts'
import type { Meter } from './meter.ts'
import { plainText, rangeBeyond } from './range.ts'

/** Why the musts cannot all be met, worked out when first asked for. `plain` is the work of one flight. */
export function conflictAnswer(found: Found, compromise: Compromise, plain: number, meter: Meter): ConflictAnswer {
  let once: Known | null = null
  const known = (): Known => {
    once ??= meter.during(() => setsOf(found, plain, meter))
    return once
  }
  const sets = (): Known['sets'] => known().sets
  return {
    get sets() {
      return sets()
    },
    get whole() {
      return known().whole
    },
    get targets() {
      return sets()[0]?.targets ?? []
    },
    get evidence() {
      return sets()[0]?.evidence ?? found.result.evidence
    },
    get mends() {
      return sets()[0]?.mends ?? []
    },
    compromise,
  }
}

type Known = Pick<ConflictAnswer, 'sets' | 'whole'>

function setsOf(found: Found, plain: number, meter: Meter): Known {
  const { session, result, widths } = found
  const { state, ranges, compiled } = session
  const { info } = compiled.reading.opened
  const free = [...state.free].map(lever => ({
    range: ranges[lever]!,
    info: info[compiled.program.levers[lever]!]!,
  }))
  const { sets, whole, work } = explainConflict(
    state,
    free.map(lever => lever.range.range),
    widths,
    result,
    (lever, end) => rangeBeyond(free[lever]!.info.lever!.written, free[lever]!.range, end),
    found.watch,
  )
  meter.add(work)
  return { sets: sets.map(set => setAnswer(found, set, plain, meter)), whole }
}

function setAnswer({ session, widths }: Found, set: ConflictSet, plain: number, meter: Meter): ConflictSetAnswer {
  const { targets } = session.compiled.reading.opened
  const mends = set.mends.flatMap(mend => mendAnswer(session, widths, mend, set.targets, meter) ?? [])
  return {
    targets: set.targets.map(t => targets[t]!.text),
    ranges: set.widenings.map(widening => rangeWords(session, widening)),
    evidence: set.evidence,
    flights: plain > 0 ? Math.round((set.work / plain) * 10) / 10 : 0,
    gap: set.evidence === 'proved' ? 0 : set.gap,
    every: set.every,
    mends,
    widenings: set.widenings.map(widening => wideningAnswer(session, widening)),
  }
}

type Session = Found['session']

function leverOf({ state, ranges, compiled }: Session, lane: number) {
  const lever = state.free[lane]!
  const info = compiled.reading.opened.info[compiled.program.levers[lever]!]!
  const range = ranges[lever]!
  const { unit } = info.lever!.written
  const shown = (si: number): string => `${range.text(si)} ${unit.text}`.trim()
  return { name: info.name, range: range.range, unit, shown }
}

function rangeWords(session: Session, { lever, end }: Widening): string {
  const { name, range, shown } = leverOf(session, lever)
  return end === 'to' ? `${name} cannot go above ${shown(range.to)}` : `${name} cannot go below ${shown(range.from)}`
}

function wideningAnswer(session: Session, widening: Widening): WideningAnswer {
  const { name, range, shown } = leverOf(session, widening.lever)
  const to = roundedOut(session, widening)
  const [from, last] = widening.end === 'to' ? [range.from, to] : [to, range.to]
  return { text: `${name} from ${shown(from)} to ${shown(last)}`, lever: name, si: to }
}

/**
 * The new end of a range in as few figures as add next to nothing to it: a wider range holds what it must. A step that can be written is told as it is;
 * of others the far end alone may lie beyond, since they are counted from the near one.
 */
function roundedOut(session: Session, { lever, end, to }: Widening): number {
  const { range, unit } = leverOf(session, lever)
  const up = end === 'to'
  if (range.settings !== null && (!up || decimalToSI(plainText(to, unit), unit) === to)) return to
  const text = outward({ from: up ? range.to : range.from, to, up }, unit, false)
  return text === null ? to : toSI(Number(text), unit)
}
