import type { Expression, Statement } from '../../grammar/tree.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, isReading, PLAIN, parseUnit, toSI, type Unit } from '../../grammar/units/unit.ts'
import { marginOf, type TargetSlots, whySlot } from '../../solver/index.ts'
import type { WorkingPart, WorkingTarget } from '../working.ts'
import { json, sentence, unitFor } from './answer-quantities.ts'
import type { Judged } from './answer-targets.ts'
import type { Opened } from './opened.ts'
import type { Session } from './session.ts'
import { type Desk, DIGITS, isShort, type Node, type Told, told, valueText } from './working-node.ts'
import { isWritten, ownRelation, relationOf } from './working-relation.ts'

export type TargetStatement = Extract<Statement, { kind: 'target' }>

/** The node of a target: its value, and its margin as slack over the size of its limit. */
export function targetNode(desk: Desk, t: number, statement: TargetStatement, judged: Judged): Node {
  const info = desk.opened.targets[t]!
  const unit = unitOfTarget(desk.opened, t, judged.value)
  const text = valueText(judged.value, unit)
  const node: Node = { key: `target ${t}`, name: info.text, si: judged.value, unit, text, open: () => open() }
  const open = (): Told => {
    const { part, reads } = relationOf(desk, statement.value, desk.lookup, null, node)
    const margin = marginPart(desk, t, statement, judged, node)
    const parts = [...(info.id === null ? [part] : []), ...(margin?.parts ?? [])]
    const read = new Map([...reads, ...(margin?.reads ?? [])].map(each => [each.key, each]))
    return told('target', { line: info.span.line, parts, reads: [...read.values()], targets: [t] })
  }
  return node
}

/** The limit's own unit first, then the figure's. */
function unitOfTarget({ targets, info }: Opened, t: number, value: number): Unit {
  const { id, unit, dimension } = targets[t]!
  const like = id === null ? null : info[id]!
  return unitFor({ dimension, unit: unit ?? like?.unit ?? null, figure: like?.figure ?? null }, value)
}

/** A target as judged, for those who read a working. */
export function targetJudged({ state, compiled }: Session, t: number, judged: Judged, atLimit: boolean): WorkingTarget {
  const { opened } = compiled.reading
  const { value, limits, margin, met } = judged
  const slots = state.program.targets[t]!
  const banded = slots.kind === 'within' || slots.kind === 'equal within'
  const slot = slotsIn(slots).find(each => Number.isNaN(state.values[each]!))
  const reason = slot === undefined ? null : whySlot(state, slot)
  const why = reason ? sentence(reason, state, opened) : 'the band has no width here'
  const end = (limit: number): number | null => (Number.isFinite(limit) ? limit : null)
  return {
    text: opened.targets[t]!.text,
    level: slots.level,
    met,
    atLimit,
    margin: json(margin),
    si: json(value),
    limit: [end(limits.low), end(limits.high)],
    unit: unitOfTarget(opened, t, value).text,
    ...(!banded && (limits.low === 0 || limits.high === 0) ? { scale: limits.scale } : {}),
    ...(Number.isNaN(margin) ? { reason: why } : {}),
  }
}

function slotsIn({ value, low, high, tolerance }: TargetSlots): readonly number[] {
  return [value, low, high, tolerance].filter(slot => slot !== -1)
}

interface Ends {
  readonly relation: string
  readonly over: Readonly<Record<string, Node>>
}

/** The margin as a relation; null where it has no finite value. */
function marginPart(
  desk: Desk,
  t: number,
  statement: TargetStatement,
  judged: Judged,
  node: Node,
): { readonly parts: readonly WorkingPart[]; readonly reads: readonly Node[] } | null {
  if (!Number.isFinite(judged.margin)) return null
  const { relation, over } = endsOf(desk, t, statement, judged, node)
  const result = { si: judged.margin, unit: PLAIN, text: valueText(judged.margin, PLAIN) }
  const { part, reads } = ownRelation(desk, relation, over, result)
  // The value is the target's own, not something that it is made of.
  return {
    parts: [{ ...part, gives: 'margin' }],
    reads: reads.filter(({ key }) => key !== 'value' && !key.startsWith('limit written')),
  }
}

/** Figures that a value is shown with at most, and how near the margin of what is shown must come, as a share of it. */
const MOST_DIGITS = 9
const FOLLOWS = 5e-4

/** The value with as many figures as its margin follows from: near a limit the difference eats most of them. */
function besideLimit({ limits, margin, value }: Judged, kind: TargetSlots['kind'], { unit, text }: Node): string {
  if (isReading(unit) || isShort(value, unit)) return text
  const follows = (digits: number): boolean => {
    const shown = toSI(Number(fromSI(value, unit).toPrecision(digits)), unit)
    return Math.abs(marginOf(kind, limits, shown) - margin) <= FOLLOWS * Math.abs(margin)
  }
  let digits = DIGITS
  while (digits < MOST_DIGITS && !follows(digits)) digits++
  return digits === DIGITS ? text : formatQuantity(value, unit, digits)
}

function endsOf(desk: Desk, t: number, { value, limit }: TargetStatement, judged: Judged, node: Node): Ends {
  const { limits, value: si } = judged
  const { kind } = desk.session.compiled.program.targets[t]!
  const subject: Node = { ...node, key: 'value', name: nameOf(value), text: besideLimit(judged, kind, node) }
  const end = (name: string, at: number, tree: Expression): Node => limitNode(desk, name, at, tree, node.unit)
  const scale = (at: number): readonly [string, Record<string, Node>] =>
    at === 0
      ? [
          'scale',
          {
            scale: {
              ...subject,
              key: 'limit written scale',
              name: 'scale',
              si: limits.scale,
              text: valueText(limits.scale, node.unit),
            },
          },
        ]
      : [at < 0 ? 'abs(limit)' : 'limit', {}]
  switch (limit.kind) {
    case 'within': {
      const over = {
        value: subject,
        low: end('lower limit', limits.low, limit.from),
        high: end('upper limit', limits.high, limit.to),
      }
      const nearer = si - limits.low <= limits.high - si ? 'value - low' : 'high - value'
      return { relation: `(${nearer}) / ((high - low) / 2)`, over }
    }
    case 'at least':
    case 'at most': {
      const at = limit.kind === 'at least' ? limits.low : limits.high
      const [size, more] = scale(at)
      const slack = limit.kind === 'at least' ? 'value - limit' : 'limit - value'
      return {
        relation: `(${slack}) / ${size}`,
        over: { value: subject, limit: end('limit', at, limit.value), ...more },
      }
    }
    case 'equal to': {
      const at = (limits.low + limits.high) / 2
      const wanted = end('value wanted', at, limit.value)
      if (!limit.tolerance) {
        const [size, more] = scale(at)
        return { relation: `-abs(value - limit) / ${size}`, over: { value: subject, limit: wanted, ...more } }
      }
      const half = (limits.high - limits.low) / 2
      const tolerance: Node = { ...limitNode(desk, 'tolerance', half, limit.tolerance, differences(node.unit)) }
      return {
        relation: '(half - abs(value - limit)) / half',
        over: { value: subject, limit: wanted, half: tolerance },
      }
    }
  }
}

/** A difference of readings is told in kelvins. */
function differences(unit: Unit): Unit {
  const kelvins = unit.offset === 0n ? null : parseUnit('K')
  return kelvins && 'unit' in kelvins ? kelvins.unit : unit
}

function nameOf(value: Expression): string {
  if (value.kind !== 'reference') return 'value'
  return value.of ? `${value.name.text} of ${value.of.text}` : value.name.text
}

function limitNode(desk: Desk, name: string, si: number, tree: Expression, unit: Unit): Node {
  const text = valueText(si, unit)
  const written = isWritten(tree)
  return {
    key: written ? `limit written ${name}` : `limit of ${name}`,
    name,
    si,
    unit,
    text,
    open: () => {
      if (written) return told('part')
      const { part, reads } = relationOf(desk, tree, desk.lookup, null, { si, unit, text })
      return told('part', { parts: [part], reads })
    },
  }
}
