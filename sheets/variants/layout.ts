import { baseUnit } from '../../grammar/units/choose.ts'
import { NONE } from '../../grammar/units/dimension.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import { unitFor } from '../open/answer-quantities.ts'
import type { Opened } from '../open/opened.ts'
import type { VariantColumn } from './answer.ts'
import type { Varied } from './block.ts'
import { limitName } from './moved.ts'

/** Where a cell comes from. `place`: of a varied quantity, a lever (by name), a target, an aim. */
export type Source =
  | { readonly kind: 'variant' | 'block' | 'outcome' | 'problem' }
  | { readonly kind: 'varied'; readonly name: string }
  | { readonly kind: 'setting'; readonly name: string }
  | { readonly kind: 'value' | 'margin' | 'aim'; readonly place: number; readonly unit: Unit }

export interface Layout {
  readonly columns: readonly VariantColumn[]
  readonly sources: readonly Source[]
}

/** The numbers of the unvaried sheet, by which units are chosen: targets' and aims' values [SI]. */
export interface Sizes {
  readonly targets: readonly number[]
  readonly aims: readonly number[]
}

/** The columns: variant, what varies, outcome, settings, targets' values and margins, aims, problem. */
export function layoutOf(opened: Opened, varied: readonly Varied[], named: boolean, sizes: Sizes): Layout {
  const columns: VariantColumn[] = []
  const sources: Source[] = []
  const taken = new Map<string, number>()
  const add = (column: Omit<VariantColumn, 'header'>, source: Source): void => {
    const ours = OURS.includes(column.role)
    const header = column.unit === '' ? column.name : `${column.name} [${column.unit}]`
    // A plain number of the sheet's that is called as one of ours is told by its unit, 1.
    const apart = !ours && OURS_BY_HEADER.has(header) ? `${header} [1]` : header
    if (!ours) taken.set(column.name, columns.length)
    columns.push({ header: apart, ...column })
    sources.push(source)
  }
  add({ role: 'variant', name: 'variant', unit: '' }, { kind: 'variant' })
  if (named) add({ role: 'block', name: 'variants', unit: '' }, { kind: 'block' })
  for (const { name, unit } of varied) add({ role: 'varied', name, unit: unit?.text ?? '' }, { kind: 'varied', name })
  add({ role: 'outcome', name: 'outcome', unit: '' }, { kind: 'outcome' })
  for (const { name, lever } of opened.info)
    if (lever && !taken.has(name))
      add({ role: 'setting', name, unit: lever.written.unit.text }, { kind: 'setting', name })
  addTargets(opened, sizes, taken, add)
  addAims(opened, sizes, taken, columns, add)
  add({ role: 'problem', name: 'problem', unit: '' }, { kind: 'problem' })
  return { columns, sources }
}

/** Columns that are no quantities of the sheet, and their headers. */
const OURS: readonly VariantColumn['role'][] = ['variant', 'block', 'outcome', 'problem']
const OURS_BY_HEADER: ReadonlySet<string> = new Set(['variant', 'variants', 'outcome', 'problem'])

type Add = (column: Omit<VariantColumn, 'header'>, source: Source) => void

function addTargets(opened: Opened, sizes: Sizes, taken: ReadonlyMap<string, number>, add: Add): void {
  opened.targets.forEach((target, place) => {
    const { subject } = target.written
    if (taken.has(subject)) return
    const like = target.id === null ? null : opened.info[target.id]!
    const unit = unitFor(
      { dimension: target.dimension, unit: target.unit ?? like?.unit ?? null, figure: like?.figure ?? null },
      sizes.targets[place] ?? Number.NaN,
    )
    add({ role: 'value', name: subject, unit: unit.text }, { kind: 'value', place, unit })
  })
  opened.targets.forEach((_, place) => {
    const name = `margin of ${limitName(place, opened)}`
    const { level } = opened.model.targets[place]!
    add({ role: 'margin', name, unit: '', level }, { kind: 'margin', place, unit: baseUnit(NONE) })
  })
}

/** Aims on a quantity that has a column already only mark that column. */
function addAims(
  opened: Opened,
  sizes: Sizes,
  taken: ReadonlyMap<string, number>,
  columns: VariantColumn[],
  add: Add,
): void {
  opened.aims.forEach((aim, place) => {
    const { sense } = opened.model.aims[place]!
    if (sense === 'roomiest') return
    const name = aim.text.slice(sense.length + 1)
    const at = taken.get(name)
    if (at !== undefined) {
      columns[at] = { ...columns[at]!, sense }
      return
    }
    const like = aim.id === null ? null : opened.info[aim.id]!
    const unit = unitFor(
      { dimension: aim.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null },
      sizes.aims[place] ?? Number.NaN,
    )
    add({ role: 'aim', name, unit: unit.text, sense }, { kind: 'aim', place, unit })
  })
}
