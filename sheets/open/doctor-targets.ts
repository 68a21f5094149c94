import { type Problem, warning } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { type Foresight, leversAt, needsFlight, slotsOf, type TargetSlots } from '../../solver/index.ts'
import { unitFor } from './answer-quantities.ts'
import { judge } from './answer-targets.ts'
import { boundText } from './doctor-words.ts'
import type { TargetInfo } from './opened.ts'
import type { Session } from './session.ts'

/** What can be said of each target before any flight: that no lever moves it, that every setting meets it, that none does. */
export function targetProblems(session: Session, foresight: Foresight, widths: readonly number[]): readonly Problem[] {
  const { state, compiled } = session
  const { program } = state
  const { targets } = compiled.reading.opened
  state.evaluateAlgebra(Float64Array.from(state.free, lever => session.ranges[lever]!.range.from))
  const judged = judge(state, widths)
  return targets.flatMap((info, t) => {
    const slots = program.targets[t]!
    const levers = new Set(slotsOf(slots).flatMap(slot => leversAt(program, slot)))
    if (levers.size === 0) return fixed(info, slots, session, judged[t]!)
    const verdict = foresight.verdicts[t]!
    if (verdict === 'open') return []
    const why = reason(info, slots, session, foresight, verdict)
    return [
      warning(
        info.span,
        verdict === 'never'
          ? `No setting in the levers' ranges meets this${why === null ? '' : `: ${why}`}.`
          : `Every setting in the levers' ranges meets this, so it limits nothing${why === null ? '' : `: ${why}`}.`,
      ),
    ]
  })
}

/** A target that no lever moves. Where there is no lever at all, only those that are short are worth a word. */
function fixed(
  info: TargetInfo,
  slots: TargetSlots,
  { state, compiled }: Session,
  { value, met }: ReturnType<typeof judge>[number],
): Problem[] {
  const { program } = state
  if (slotsOf(slots).some(slot => needsFlight(program, slot)))
    return program.levers.length === 0
      ? []
      : [warning(info.span, 'No lever moves this; only its flight tells whether it is met.', GIVE_A_RANGE)]
  if (met)
    return program.levers.length === 0
      ? []
      : [warning(info.span, `No lever moves this: ${told(info, value, compiled)}, and so it is met whatever is set.`)]
  return [
    warning(
      info.span,
      Number.isNaN(value)
        ? `No lever moves this, and ${info.written.subject} has no value.`
        : `No lever moves this: ${told(info, value, compiled)}, and so it is short whatever is set.`,
      GIVE_A_RANGE,
    ),
  ]
}

const GIVE_A_RANGE = 'To have it moved, give a fact that it hangs on a range: it is a lever then.'

function told(info: TargetInfo, value: number, compiled: Session['compiled']): string {
  const unit = unitOfTarget(info, value, compiled)
  return `${info.written.subject} is ${formatQuantity(value, unit, 4)}`
}

function unitOfTarget(info: TargetInfo, value: number, compiled: Session['compiled']) {
  const like = info.id === null ? null : compiled.reading.opened.info[info.id]!
  return unitFor(
    { dimension: info.dimension, unit: info.unit ?? like?.unit ?? null, figure: like?.figure ?? null },
    value,
  )
}

/** The bound of the value that decides, where the limit is one number and the value's interval alone tells. */
function reason(
  info: TargetInfo,
  { value, low, high, tolerance }: TargetSlots,
  { state, compiled }: Session,
  { slots }: Foresight,
  verdict: 'always' | 'never',
): string | null {
  const fixedLimit = [low, high, tolerance].every(slot => slot === -1 || slot < state.program.algebra)
  if (!fixedLimit) return null
  const half = tolerance === -1 ? 0 : state.values[tolerance]!
  const least = low === -1 ? Number.NEGATIVE_INFINITY : state.values[low]! - half
  const most = high === -1 ? Number.POSITIVE_INFINITY : state.values[high]! + half
  const [from, to] = [slots.low[value]!, slots.high[value]!]
  const { subject } = info.written
  const said = (si: number, round: 'up' | 'down', beyond: (si: number) => boolean): string =>
    boundText(si, unitOfTarget(info, si, compiled), round, beyond)
  if (verdict === 'never') {
    if (to < least) return `${subject} is never above ${said(to, 'up', si => si < least)}`
    if (from > most) return `${subject} is never below ${said(from, 'down', si => si > most)}`
    return null
  }
  if (from < least || to > most) return null
  const [above, below] = [
    low === -1 ? null : `below ${said(from, 'down', si => si >= least)}`,
    high === -1 ? null : `above ${said(to, 'up', si => si <= most)}`,
  ]
  return `${subject} is never ${[above, below].filter(part => part !== null).join(' and never ')}`
}
