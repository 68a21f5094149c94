import type { Problem } from '../../grammar/source.ts'
import { judge } from '../open/answer-targets.ts'
import { find } from '../open/find.ts'
import type { Session } from '../open/session.ts'
import { valueOfText } from '../open/setting.ts'
import { soundSession } from '../open/solve.ts'
import type { VariantBlockAnswer, VariantCell, VariantRow, Variants, VariantsRequest, VariantTask } from './answer.ts'
import type { Varied } from './block.ts'
import type { Choice, Choices } from './choices.ts'
import { type Basis, faultyRow, solveVariant } from './desk.ts'
import { rowChoices } from './file-columns.ts'
import { layoutOf, type Sizes } from './layout.ts'
import { type Ready, readyBlocks, type VariedSheet } from './ready.ts'
import { Structures } from './structure.ts'

/** The variants of a sheet, ready to be solved. */
export function variantsOf(sheet: VariedSheet, request: VariantsRequest): Variants {
  const { opened } = sheet.reading
  const told = opened.title || sheet.name
  const nothing = (problems: readonly Problem[]): Variants => ({
    sheet: told,
    problems,
    columns: [],
    blocks: [],
    solve: () => [],
    *[Symbol.iterator]() {},
  })
  if (!sheet.compiled) return nothing(opened.problems)
  const { session, problems, wrong } = soundSession(sheet.compiled, request.set ?? {})
  if (wrong) return nothing(problems)
  const all: Problem[] = [...problems]
  const ready = readyBlocks(sheet, session, request, all)
  if (all.some(problem => problem.severity === 'error')) return nothing(all)
  const basis = basisOf(sheet, session, request, ready)
  const solve = (task: VariantTask) => solveTask(basis, session, ready, task)
  return {
    sheet: told,
    problems: all,
    columns: basis.layout.columns,
    blocks: ready.map(({ block, count }): VariantBlockAnswer => ({ name: block.name, count, file: block.file })),
    solve,
    *[Symbol.iterator]() {
      yield* rowsOf(basis, session, ready, request)
    },
  }
}

/** Solves the unvaried sheet, which every variant starts from. */
function basisOf(sheet: VariedSheet, session: Session, request: VariantsRequest, ready: readonly Ready[]): Basis {
  const { opened } = sheet.reading
  const { state, compiled } = session
  const found = find(session)
  const { x } = found.result
  const sizes: Sizes = { targets: [], aims: [] }
  const settings = new Map<string, number>()
  if (x) {
    state.forget()
    state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
    state.free.forEach((lever, lane) => {
      settings.set(opened.model.quantities[compiled.program.levers[lever]!]!.name, x[lane]!)
    })
    Object.assign(sizes, {
      targets: judge(state, found.widths).map(({ value }) => value),
      aims: state.program.aims.map(({ value }) => (value === -1 ? Number.NaN : state.values[value]!)),
    })
  }
  const varied = new Map(ready.flatMap(each => each.varied.map(one => [one.name, one] as const)))
  return {
    structures: new Structures(sheet.reading, sheet.load),
    set: settingsInSI(session, request),
    settings,
    layout: layoutOf(
      opened,
      [...varied.values()],
      ready.some(({ block }) => block.name !== null),
      sizes,
    ),
  }
}

function settingsInSI({ state, compiled }: Session, { set = {} }: VariantsRequest): Readonly<Record<string, number>> {
  const { ids } = compiled.reading.opened
  return Object.fromEntries(
    Object.keys(set).map(written => {
      const name = written.normalize('NFC').trim().replace(/\s+/g, ' ')
      const id = ids.get(name)!
      const lever = compiled.program.levers.indexOf(id)
      return [name, lever === -1 ? state.valueOf(id) : state.pinned(lever)]
    }),
  )
}

function solveTask(
  basis: Basis,
  session: Session,
  ready: readonly Ready[],
  { block, first, stride, work }: VariantTask,
): readonly (readonly VariantCell[])[] {
  const { varied, choices, columns, block: told } = ready[block]!
  const asked = (k: number) => ({ variant: first + k * stride, block, blockName: told.name ?? '', varied })
  if (choices && 'from' in work)
    return Array.from({ length: work.count }, (_, k) =>
      solveVariant(basis, asked(k), productChoices(choices, work.from + k * stride)),
    )
  if ('from' in work) throw new Error('a stretch of a file')
  return work.rows.map((row, k) => {
    const read = rowChoices(row, columns, (each, text) => evaluated(session, each, text))
    return 'problem' in read
      ? faultyRow(basis, asked(k), read.shown, read.problem)
      : solveVariant(basis, asked(k), read.choices)
  })
}

/** The choices at a place of a cross product; the last line runs fastest. */
function productChoices(lines: readonly Choices[], place: number): readonly Choice[] {
  const picked: Choice[] = new Array(lines.length)
  let rest = place
  for (let line = lines.length - 1; line >= 0; line--) {
    const many = lines[line]!.length
    picked[line] = lines[line]!.at(rest % many)
    rest = Math.floor(rest / many)
  }
  return picked
}

/** Words of a cell such as "165 kg" as SI, or what is wrong with them. */
function evaluated({ compiled, state }: Session, varied: Varied, text: string): number | string {
  const problems: Problem[] = []
  const { name, dimension } = varied
  const si = valueOfText(compiled, { name, dimension: dimension! }, text, state, problems)
  const said = problems[0]
  if (si !== null) return si
  return said ? (said.mend === null ? said.message : `${said.message} ${said.mend}`) : `"${text}" is no value.`
}

/** How many are solved at a time when iterated. */
const TOGETHER = 16

function* rowsOf(
  basis: Basis,
  session: Session,
  ready: readonly Ready[],
  { share = [1, 1], only }: VariantsRequest,
): Generator<VariantRow> {
  const { columns } = basis.layout
  const outcome = columns.findIndex(column => column.role === 'outcome')
  for (const task of tasksOf(ready, share))
    for (const cells of solveTask(basis, session, ready, task))
      if (only === undefined || cells[outcome] === only)
        yield Object.fromEntries(columns.map(({ header }, place) => [header, cells[place]!]))
}

function* tasksOf(ready: readonly Ready[], [i, n]: readonly [number, number]): Generator<VariantTask> {
  let before = 0
  for (const [block, { rows, count }] of ready.entries()) {
    const many = count ?? 0
    // The first place of this block whose number, counted over all blocks, belongs to the share.
    const begin = (((i - 1 - before) % n) + n) % n
    for (let from = begin; from < many; from += n * TOGETHER) {
      const left = Math.min(TOGETHER, Math.ceil((many - from) / n))
      const work = rows ? { rows: Array.from({ length: left }, (_, k) => rows[from + k * n]!) } : { from, count: left }
      yield { block, first: before + from + 1, stride: n, work }
    }
    before += many
  }
}
