import { type Problem, remark, warning } from '../../grammar/source.ts'
import { fromSI, toSI } from '../../grammar/units/unit.ts'
import { type Foresight, leversAt, type Program, type Proof, slotsOf } from '../../solver/index.ts'
import { slotMeant } from './doctor-use.ts'
import { roundedTo } from './doctor-words.ts'
import type { TargetInfo } from './opened.ts'
import type { LeverRange } from './range.ts'
import { plainText } from './range.ts'
import type { Scope } from './scope.ts'
import type { Session } from './session.ts'

/** Levers that nothing asked for hangs on. A sheet that asks for nothing at all is told so once. */
export function idleLevers({ state, compiled }: Session, scope: Scope): readonly Problem[] {
  const { program } = state
  const { info } = compiled.reading.opened
  const asked = [
    ...program.targets.flatMap(slotsOf),
    ...program.aims.flatMap(aim => (aim.value === -1 ? [] : aim.value)),
  ]
  if (asked.length === 0) {
    const first = program.levers.map(id => info[id]!.span).sort((a, b) => a.line - b.line)[0]
    return first ? [remark(first, 'Nothing is asked of this sheet yet: it has levers, but no target and no aim.')] : []
  }
  const touched = new Set(asked.flatMap(slot => leversAt(program, slot)))
  return program.levers.flatMap((id, l) => {
    if (touched.has(l)) return []
    const { name, span } = info[id]!
    const mend = slotMeant(name, scope) ?? 'Make it a fact, or ask for something that it moves.'
    return [warning(span, `"${name}" moves nothing that is asked for: no target and no aim hangs on it.`, mend)]
  })
}

/** Musts that intervals and linear reasoning prove to exclude one another, though each can be met by itself. */
export function clash(proof: Proof, targets: readonly TargetInfo[]): readonly Problem[] {
  const [first, ...others] = (proof.contradiction ?? []).map(t => targets[t]!)
  if (!first || others.length === 0) return []
  const words =
    others.length === 1 ? 'This and another must' : `This and ${COUNTS[others.length] ?? others.length} other musts`
  return [
    warning(
      first.span,
      `${words} cannot be met together, whatever is set: the sheet's answer tells what would free them.`,
      null,
      others.map(({ span }) => ({ ...span, message: 'together with this' })),
    ),
  ]
}

const COUNTS = ['no', 'one', 'two', 'three', 'four', 'five', 'six']

/** A cut shorter than this share of a range without steps is not worth a word. */
const LEAST_CUT = 0.01

/** Ends of levers' ranges at which some must is proved to fail. */
export function uselessEnds(session: Session, foresight: Foresight, proof: Proof): readonly Problem[] {
  const { state, compiled } = session
  const { opened } = compiled.reading
  return [...state.free].flatMap((l, lane) => {
    const range = session.ranges[l]!
    const { from, to, settings } = range.range
    const least = settings ? Number.MIN_VALUE : LEAST_CUT * (to - from)
    const info = opened.info[state.program.levers[l]!]!
    const shown = (bound: number, side: Side): string => shownBound(range, info.lever!.written.unit, bound, side)
    const cuts = SIDES.flatMap((side): Cut[] => {
      const bound = side === 'below' ? proof.low[lane]! : proof.high[lane]!
      const must = culprit(foresight, state.program, lane, side, bound, HAIR * (to - from))
      const cut = side === 'below' ? bound - from : to - bound
      // A must on the lever itself says so in its own words.
      if (cut < least || (must !== null && opened.targets[must]!.id === state.program.levers[l])) return []
      return [{ side, text: shown(bound, side), must }]
    })
    const say = (words: (musts: string) => string, must: number | null): Problem => {
      const place = must === null ? null : opened.targets[must]!
      return place
        ? remark(info.span, words(`"${place.text}"`), null, [{ ...place.span, message: 'this must' }])
        : remark(info.span, words('all the musts together'))
    }
    const [first, second] = cuts
    if (first && second && first.must === second.must)
      return [say(musts => `"${info.name}" can meet ${musts} only from ${first.text} to ${second.text}.`, first.must)]
    return cuts.map(({ side, text, must }) =>
      say(musts => `"${info.name}" ${side} ${text} never meets ${musts}.`, must),
    )
  })
}

const SIDES = ['below', 'above'] as const
type Side = (typeof SIDES)[number]
const HAIR = 1e-9

/** A part of a range that is cut off, up to where, and the must that does it by itself. */
interface Cut {
  readonly side: Side
  readonly text: string
  readonly must: number | null
}

/** The must that alone cuts a range as far as all of them together, if one does. */
function culprit(
  { alone }: Foresight,
  { targets }: Program,
  lane: number,
  side: Side,
  bound: number,
  slack: number,
): number | null {
  const found = alone.findIndex(
    (proof, t) =>
      proof !== null &&
      targets[t]!.level === 'must' &&
      (side === 'below' ? proof.low[lane]! >= bound - slack : proof.high[lane]! <= bound + slack),
  )
  return found === -1 ? null : found
}

/** A step as it is written; between steps rounded to three figures, to the side on which less is said. */
function shownBound(range: LeverRange, unit: Parameters<typeof fromSI>[1], bound: number, side: Side): string {
  const text = range.range.settings
    ? range.text(bound)
    : plainText(toSI(roundedTo(fromSI(bound, unit), 3, side === 'below' ? 'down' : 'up'), unit), unit)
  return `${text} ${unit.text}`.trim()
}
