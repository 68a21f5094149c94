import { fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'
import type { Session } from './session.ts'

/** Figures that are tried for a setting without steps, the fewest first; with nine it stands as it was found. */
const FIGURES = [3, 4, 5, 6, 7, 8]
/** So many levers are tried rounded either way; more of them to the nearest alone. */
const MOST_BOTH_WAYS = 3

/**
 * Settings of the free levers with as few figures as what they were found for allows: those of levers without steps rounded, all to the
 * same number of figures, the others kept. `holds`: whether rounded settings still do.
 */
export function fewFigures(
  { state, ranges, compiled }: Session,
  x: Float64Array,
  holds: (x: Float64Array) => boolean,
): Float64Array {
  const { info } = compiled.reading.opened
  const loose = [...state.free].flatMap((lever, lane) => {
    const { range } = ranges[lever]!
    const { unit } = info[compiled.program.levers[lever]!]!.lever!.written
    return range.settings === null ? [{ lane, range, unit }] : []
  })
  if (loose.length === 0) return x
  const ways = loose.length > MOST_BOTH_WAYS ? 1 : 2 ** loose.length
  for (const figures of FIGURES)
    for (let way = 0; way < ways; way++) {
      const tried = x.slice()
      loose.forEach(({ lane, range: { from, to }, unit }, k) => {
        const si = rounded(x[lane]!, unit, figures, ((way >> k) & 1) === 1)
        if (si >= from && si <= to) tried[lane] = si
      })
      if (holds(tried)) return tried
    }
  return x
}

/** A value to so many figures of its unit: to the nearest, or else to the one on its other side. */
function rounded(si: number, unit: Unit, figures: number, other: boolean): number {
  const value = fromSI(si, unit)
  const near = Number(value.toPrecision(figures))
  if (!other || near === value || value === 0) return toSI(near, unit)
  const grain = 10 ** (Math.floor(Math.log10(Math.abs(value))) - figures + 1)
  return toSI(Number((near + (near < value ? grain : -grain)).toPrecision(figures)), unit)
}
