import type { TargetView, Tick } from '../spoken.ts'
import { apart, LETTERS, textWidth } from './measure.ts'
import { shown } from './numbers.ts'

/** Where the line of a scale lies in it [px]. */
export const LINE = 58
/** And its dimension lines. */
const HEIGHT = LINE - 18
const BOLD = `700 17px ${LETTERS}`
/** The letters of words beside a scale, as CSS. */
export const PLAIN = `400 15px ${LETTERS}`

/** The line of a scale, its ticks and their numbers. */
export function Rule({
  ticks,
  x,
  width,
}: {
  readonly ticks: readonly Tick[]
  readonly x: (share: number) => number
  readonly width: number
}) {
  const told = apart(ticks.map(({ at, text }) => ({ x: x(at), words: shown(text) })))
  return (
    <>
      <line x1={x(0)} y1={LINE} x2={x(1)} y2={LINE} class="rule" />
      {ticks.map(({ at, text }, k) => (
        <g key={text}>
          <line x1={x(at)} y1={LINE} x2={x(at)} y2={LINE + 6} class="rule" />
          {told[k] && x(at) > 12 && x(at) < width - 12 && (
            <text x={x(at)} y={LINE + 22} class="ticks" text-anchor="middle" aria-hidden>
              {shown(text)}
            </text>
          )}
        </g>
      ))}
    </>
  )
}

interface MarkProps {
  readonly target: TargetView
  readonly x: (share: number) => number
  readonly width: number
  readonly ink: string
}

/** The lozenge where the design is, its value above, and the dimension line to its limit with the distance in words. */
export function Mark({ target, x, width, ink }: MarkProps) {
  const { scale, value, words } = target
  if (scale.mark === null)
    return (
      <text x={x(0.02)} y={LINE - 14} class="distance">
        {words}
      </text>
    )
  const at = x(scale.mark)
  const stretch = scale.room ?? scale.overshoot
  const tick = stretch ? x(Math.abs(stretch[0] - scale.mark) < 1e-9 ? stretch[1] : stretch[0]) : at
  const said = shown(words.includes(', ') ? words.slice(words.indexOf(', ') + 2) : '')
  const number = shown(value)
  const widest = Math.max(textWidth(number, BOLD), textWidth(said, PLAIN))
  const need = widest + 12
  const right = at >= tick ? at + need < width || at - need < 0 : at - need < 0
  const place = right ? at + 9 : at - 9
  const anchor = right ? 'start' : 'end'
  // Words that have no room beside the dimension line stand over its beginning.
  const behind = right === tick > at ? place + (right ? widest + 5 : -widest - 5) : null
  return (
    <>
      {tick !== at && (
        <path
          class={`dimension ${ink}`}
          d={behind === null ? dimension(Math.min(at, tick), Math.max(at, tick)) : rest(behind, tick, right ? 1 : -1)}
        />
      )}
      <text x={place} y={LINE - 24} class={`value ${ink}`} text-anchor={anchor}>
        {number}
      </text>
      <text x={place} y={LINE - 8} class={`distance ${ink === 'ink' ? '' : ink}`} text-anchor={anchor}>
        {said}
      </text>
      <path class={`lozenge ${ink}`} d={`M${at} ${LINE - 8}l8 8l-8 8l-8 -8Z`} />
      {scale.beyond && (
        <path
          class={`chevron ${ink}`}
          d={scale.beyond === 'left' ? `M${at + 16} ${LINE - 6}l-6 6l6 6` : `M${at - 16} ${LINE - 6}l6 6l-6 6`}
        />
      )}
    </>
  )
}

/** From mark to tick with arrowheads inside, or pointing in from outside where the gap is narrow. */
function dimension(left: number, right: number): string {
  if (right - left >= 22) return `M${left} ${HEIGHT}H${right}${arrowhead(left, -1)}${arrowhead(right, 1)}`
  return `M${left - 12} ${HEIGHT}H${left}${arrowhead(left, 1)}M${right + 12} ${HEIGHT}H${right}${arrowhead(right, -1)}`
}

/** What of a dimension line is left behind words that stand over its beginning: nothing where they reach too near to its end. */
function rest(from: number, to: number, way: 1 | -1): string {
  return way * (to - from) < 12 ? '' : `M${from} ${HEIGHT}H${to}${arrowhead(to, way)}`
}

/** An arrowhead that points to the right (1) or to the left. */
function arrowhead(at: number, way: 1 | -1): string {
  const behind = at - 6 * way
  return `M${behind} ${HEIGHT - 3.5}L${at} ${HEIGHT}L${behind} ${HEIGHT + 3.5}`
}

/** Crosses from tick to mark, where it is over its limit. */
export function crossed(from: number, to: number): string {
  let path = ''
  for (let at = from; at + 4 <= to; at += 6) path += `M${at} ${LINE - 5}l6 10M${at + 6} ${LINE - 5}l-6 10`
  return path === '' ? `M${from} ${LINE - 5}V${LINE + 5}` : path
}
