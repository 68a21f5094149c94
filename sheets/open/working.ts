import type { Problem } from '../../grammar/source.ts'
import type { Statement } from '../../grammar/tree.ts'
import { prove } from '../../solver/index.ts'
import type { Setting } from '../answer.ts'
import type { WorkingAnswer, WorkingOptions, WorkingStep } from '../working.ts'
import { json } from './answer-quantities.ts'
import { atLimits, judge } from './answer-targets.ts'
import type { Compiled } from './compiled.ts'
import { find, middleOf } from './find.ts'
import type { Opened } from './opened.ts'
import { gather } from './scope.ts'
import type { Session } from './session.ts'
import { soundSession } from './solve.ts'
import { type Asked, resolve } from './working-asked.ts'
import { deskAt } from './working-desk.ts'
import { holdsOf, type Stand } from './working-levers.ts'
import type { Node } from './working-node.ts'
import { quantityNode } from './working-quantity.ts'
import { type TargetStatement, targetJudged, targetNode } from './working-target.ts'

/** A sheet as the workings need it: compiled (null: it has errors), and as written. */
export interface Written {
  readonly compiled: Compiled | null
  readonly opened: Opened
  readonly name: string
  readonly statements: readonly Statement[]
}

/** How one quantity comes about, as far as asked, at the settings that solve the sheet or at those that were set. */
export function workingAnswer(sheet: Written, asked: string, { set = {}, deep = 1 }: WorkingOptions): WorkingAnswer {
  const { compiled, opened } = sheet
  if (!compiled) return faulty(sheet, asked, opened.problems)
  const { session, problems, wrong } = soundSession(compiled, set)
  if (wrong) return faulty(sheet, asked, problems)
  const found = resolve(asked, opened)
  if ('message' in found) return faulty(sheet, asked, [...problems, found])
  const { x, widths, outcome, middle } = settle(session, found.hangs)
  return { ...laidOut(sheet, session, found, { x, widths }, deep), outcome, middle, problems }
}

function faulty({ opened, name }: Written, asked: string, problems: readonly Problem[]): WorkingAnswer {
  return {
    sheet: opened.title || name,
    name: asked,
    outcome: 'faulty',
    middle: false,
    settings: {},
    steps: [],
    targets: [],
    problems,
  }
}

interface Settled {
  readonly x: Float64Array
  readonly widths: readonly number[]
  readonly outcome: WorkingAnswer['outcome']
  readonly middle: boolean
}

/** The settings to show a working at: searched only where something hangs on a lever that is not set. */
function settle(session: Session, hangs: boolean): Settled {
  const { state, ranges } = session
  const free = [...state.free].map(lever => ranges[lever]!.range)
  if (free.length > 0 && hangs) {
    const { result, widths } = find(session)
    const { outcome, x } = result
    return { x: x ?? middleOf(free), widths, outcome, middle: x === null }
  }
  const { widths } = prove(state, free)
  const levers = session.compiled.program.levers.length
  return { x: middleOf(free), widths: [...widths], outcome: hangs && levers > 0 ? 'pinned' : 'known', middle: false }
}

function laidOut(
  { opened, name, statements }: Written,
  session: Session,
  asked: Asked,
  { x, widths }: Pick<Settled, 'x' | 'widths'>,
  deep: number | 'all',
): Omit<WorkingAnswer, 'outcome' | 'middle' | 'problems'> {
  const { state } = session
  const tight = (): void => state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  state.forget()
  tight()
  const judged = judge(state, widths)
  const { at } = atLimits(session, x, judged, widths)
  tight()
  const stand: Stand = { session, x, judged, widths }
  const holds = (lever: number) => holdsOf(stand, state.free.indexOf(lever))
  const desk = deskAt(session, gather(statements, []), (own, id) => quantityNode(own, id, holds))
  const targets = statements.filter((each): each is TargetStatement => each.kind === 'target')
  const first =
    asked.id === null ? asked.targets.map(t => targetNode(desk, t, targets[t]!, judged[t]!)) : [desk.quantity(asked.id)]
  const steps = stepsFrom(first, deep === 'all' ? Number.POSITIVE_INFINITY : deep, opened)
  const named = new Set(steps.flatMap(({ targets: texts, held }) => [...texts, ...held.map(({ text }) => text)]))
  return {
    sheet: opened.title || name,
    name: asked.name,
    settings: settingsOf(session),
    steps,
    targets: opened.targets.flatMap(({ text }, t) =>
      named.has(text) ? [targetJudged(session, t, judged[t]!, at[t]!)] : [],
    ),
  }
}

/** The settings of all levers at the point last worked out. */
function settingsOf({ state, compiled, ranges }: Session): Record<string, Setting> {
  const { info } = compiled.reading.opened
  return Object.fromEntries(
    compiled.program.levers.map((id, lever) => {
      const si = state.valueOf(id)
      const { unit } = info[id]!.lever!.written
      return [info[id]!.name, { si, text: `${ranges[lever]!.text(si)} ${unit.text}`.trim() }]
    }),
  )
}

/** Each quantity once, level by level, down to `deepest`. */
function stepsFrom(first: readonly Node[], deepest: number, opened: Opened): readonly WorkingStep[] {
  const steps: WorkingStep[] = []
  const met = new Set(first.map(({ key }) => key))
  let level = first
  for (let depth = 0; level.length > 0 && depth <= deepest; depth++) {
    const next: Node[] = []
    for (const node of level) {
      const { reads, step } = stepOf(node, depth, opened)
      steps.push(step)
      for (const read of reads) {
        if (met.has(read.key)) continue
        met.add(read.key)
        next.push(read)
      }
    }
    level = next
  }
  return steps
}

function stepOf(
  node: Node,
  depth: number,
  opened: Opened,
): { readonly step: WorkingStep; readonly reads: readonly Node[] } {
  const { kind, reads, parts, reason, description, line, targets, held, pinned } = node.open()
  const step: WorkingStep = {
    name: node.name,
    kind,
    depth,
    si: json(node.si),
    unit: node.unit.text,
    text: node.text,
    ...(reason === null ? {} : { reason }),
    ...(description === null ? {} : { description }),
    ...(line === null ? {} : { line }),
    parts,
    targets: targets.map(t => opened.targets[t]!.text),
    held,
    ...(pinned ? { pinned } : {}),
    from: reads.map(({ name }) => name),
  }
  return { step, reads }
}
