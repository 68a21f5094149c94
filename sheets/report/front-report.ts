import { padded, widthOf } from '../../grammar/width.ts'
import type { FrontAnswer } from '../map-answer.ts'
import { CAUTIONS } from './cautions.ts'
import { BLANK, type Line, piece, wrap } from './marked.ts'
import { titleLine } from './solve-report.ts'

const START = 8
const GAP = 3

/** The front of two aims as a list: what each is worth, and the settings; the knee is marked. */
export function frontReport(front: FrontAnswer, file: string, width: number): readonly Line[] {
  const levers = Object.keys(front.points[0]?.settings ?? {})
  const heads = [...front.aims, ...levers]
  const rows = front.points.map(({ texts, settings }) => [...texts, ...levers.map(name => settings[name]!.text)])
  const widths = heads.map((head, column) => Math.max(widthOf(head), ...rows.map(row => widthOf(row[column]!))))
  // A list too wide for the page goes on under itself, a column a line.
  const wide = START + widths.reduce((sum, each) => sum + each + GAP, 0) - GAP > width
  const line = (row: readonly string[], mark: string): readonly Line[] => {
    const ink = mark === '' ? 'plain' : 'strong'
    if (wide)
      return row.map((text, k): Line => [piece(padded(k === 0 ? mark : '', START)), piece(`${heads[k]!} ${text}`, ink)])
    return [[piece(padded(mark, START) + row.map((text, k) => padded(text, widths[k]! + GAP)).join(''), ink)]]
  }
  return [
    ...titleLine(file, front.sheet, width),
    BLANK,
    ...(wide ? [] : line(heads, '').map((head): Line => head.map(each => piece(each.text, 'pencil')))),
    ...rows.flatMap((row, place) => line(row, place === front.knee ? 'knee' : '')),
    BLANK,
    ...wrap(front.text, width).map((each): Line => [piece(each)]),
    BLANK,
    ...wrap(CAUTIONS, width).map((each): Line => [piece(each, 'pencil')]),
  ]
}

/** The front as the rows of a CSV file: both aims and every lever, in SI. */
export function frontTable(front: FrontAnswer): readonly (readonly string[])[] {
  const levers = Object.keys(front.points[0]?.settings ?? {})
  return [
    ['knee', ...front.aims.map(aim => `${aim} [SI]`), ...levers.map(name => `${name} [SI]`)],
    ...front.points.map(({ aims, settings }, place) => [
      place === front.knee ? 'knee' : '',
      ...aims.map(String),
      ...levers.map(name => String(settings[name]!.si)),
    ]),
  ]
}
