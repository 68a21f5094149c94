import type { Problem } from '../../grammar/source.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import { confirmed, judge } from '../open/answer-targets.ts'
import { type Found, find } from '../open/find.ts'
import type { Session } from '../open/session.ts'
import type { Settings } from '../open/setting.ts'
import { soundSession } from '../open/solve.ts'
import { tableWarnings } from '../open/sound.ts'
import type { VariantCell } from './answer.ts'
import type { Moved, Varied } from './block.ts'
import { type Choice, oneLine, rounded, shownIn } from './choices.ts'
import type { Layout } from './layout.ts'
import { limitFact, type Structures } from './structure.ts'

/** What every variant of a sheet starts from. */
export interface Basis {
  readonly structures: Structures
  /** What was set for all of them [SI]. */
  readonly set: Readonly<Record<string, number>>
  /** The unvaried sheet's own settings, by lever [SI]; empty where it has none. */
  readonly settings: ReadonlyMap<string, number>
  readonly layout: Layout
}

/** One variant as it is told: its number, its block, what varies. */
export interface Asked {
  readonly variant: number
  readonly block: number
  readonly blockName: string
  readonly varied: readonly Varied[]
}

/** Solves one variant, from the unvaried sheet's own answer and nothing else, and gives its row. A bad one is a row with its problem. */
export function solveVariant(basis: Basis, asked: Asked, choices: readonly Choice[]): readonly VariantCell[] {
  const shown = choices.map(choice => choice.shown)
  try {
    const opened = sessionFor(basis, asked, choices)
    if (typeof opened === 'string') return faultyRow(basis, asked, shown, opened)
    return solvedRow(basis, asked, shown, opened)
  } catch (fault) {
    const words = fault instanceof Error ? fault.message : String(fault)
    return faultyRow(basis, asked, shown, `Something of ours went wrong with this variant: ${oneLine(words)}.`)
  }
}

/** The row of a variant that cannot be solved because something in it is wrong. */
export function faultyRow(
  { layout }: Basis,
  asked: Asked,
  shown: readonly VariantCell[],
  problem: string,
): readonly VariantCell[] {
  return layout.sources.map(source => {
    if (source.kind === 'outcome') return 'faulty'
    return source.kind === 'problem' ? oneLine(problem) : headCell(source, asked, shown)
  })
}

function headCell(source: Layout['sources'][number], asked: Asked, shown: readonly VariantCell[]): VariantCell {
  if (source.kind === 'variant') return asked.variant
  if (source.kind === 'block') return asked.blockName
  if (source.kind !== 'varied') return null
  return shown[asked.varied.findIndex(varied => varied.name === source.name)] ?? null
}

interface Opened {
  readonly session: Session
  readonly warnings: readonly Problem[]
}

function sessionFor(basis: Basis, asked: Asked, choices: readonly Choice[]): Opened | string {
  const moved = asked.varied.map(varied => varied.moved)
  const bodies = new Map<string, string>()
  const set: Record<string, number> = { ...basis.set }
  for (const [place, each] of moved.entries()) take(each, choices[place]!, bodies, set)
  const structure = basis.structures.structure(asked.block, moved, bodies)
  if ('fault' in structure) return structure.fault
  const { session, problems, wrong } = soundSession(structure.compiled, set satisfies Settings)
  if (wrong) {
    const found = problems.find(problem => problem.severity === 'error')!
    return found.mend === null ? found.message : `${found.message} ${found.mend}`
  }
  return { session, warnings: session.problems }
}

function take(moved: Moved, { value }: Choice, bodies: Map<string, string>, set: Record<string, number>): void {
  if (moved.kind === 'body') bodies.set(moved.flight, value as string)
  else if (moved.kind === 'limit')
    (value as readonly number[]).forEach((si, end) => {
      set[limitFact(moved.target, end)] = si
    })
  else if (moved.kind !== 'label') set[moved.name] = (value as readonly number[])[0]!
}

function solvedRow(basis: Basis, asked: Asked, shown: readonly VariantCell[], opened: Opened): readonly VariantCell[] {
  const { session, warnings } = opened
  const { state } = session
  const found = find(session, startOf(basis, session))
  const { x, outcome } = found.result
  if (!x) {
    const words = warnings.map(problem => problem.message).join(' ')
    return basis.layout.sources.map(source => {
      if (source.kind === 'outcome') return outcome
      return source.kind === 'problem' ? oneLine(words) : headCell(source, asked, shown)
    })
  }
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
  return writtenRow(basis, asked, shown, opened, found)
}

function writtenRow(
  { layout }: Basis,
  asked: Asked,
  shown: readonly VariantCell[],
  { session, warnings }: Opened,
  { result, widths }: Found,
): readonly VariantCell[] {
  const { state, compiled, ranges } = session
  const judged = judge(state, widths)
  const { outcome } = confirmed(result, judged, state.program.targets)
  const words = [...warnings, ...tableWarnings(session)].map(problem => problem.message)
  return layout.sources.map((source): VariantCell => {
    switch (source.kind) {
      case 'outcome':
        return outcome
      case 'problem':
        return oneLine(words.join(' '))
      case 'setting': {
        const id = compiled.reading.opened.ids.get(source.name)!
        return Number(ranges[compiled.program.levers.indexOf(id)]!.text(state.valueOf(id)))
      }
      case 'value':
        return numberIn(judged[source.place]!.value, source.unit)
      case 'margin':
        return numberCell(judged[source.place]!.margin)
      case 'aim': {
        const slot = state.program.aims[source.place]!.value
        return slot === -1 ? null : numberIn(state.values[slot]!, source.unit)
      }
      default:
        return headCell(source, asked, shown)
    }
  })
}

function numberIn(si: number, unit: Unit): VariantCell {
  return Number.isFinite(si) ? shownIn(si, unit) : numberCell(si)
}

function numberCell(value: number): VariantCell {
  if (Number.isNaN(value)) return null
  return Number.isFinite(value) ? rounded(value) : value > 0 ? 'infinity' : '-infinity'
}

/** The unvaried sheet's settings of the levers that are free here, in their order. */
function startOf({ settings }: Basis, { state, compiled }: Session): Float64Array | undefined {
  const { model } = compiled.reading.opened
  const values = Float64Array.from(
    state.free,
    lever => settings.get(model.quantities[compiled.program.levers[lever]!]!.name) ?? Number.NaN,
  )
  return values.length === 0 || values.some(Number.isNaN) ? undefined : values
}
