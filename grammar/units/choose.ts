import { baseForm, type Dimension, same } from './dimension.ts'
import { fromSI, PLAIN, parseUnit, type Unit } from './unit.ts'

export { exactText, formatNumber, formatQuantity, type NumberLook } from './format.ts'

/** Units that share a dimension, from small to large: the largest one is taken in which the number is not below `from`. */
interface Family {
  readonly dimension: Dimension
  readonly members: readonly { readonly unit: Unit; readonly from: number }[]
}

/** The units in which a quantity of no particular wish is shown, with the least number shown in each. Common practice, no source. */
const FAMILIES: readonly Family[] = [
  family('mm 0, cm 1, m 0.1, km 1'),
  family('cm^2 0, m^2 0.01, km^2 1'),
  family('cm^3 0, L 0.1, m^3 1'),
  family('g 0, kg 0.1, t 10'),
  family('ms 0, s 0.1'),
  family('Pa 0, kPa 1, MPa 1'),
  family('N 0, kN 1, MN 1'),
  family('N*s 0, kN*s 1, MN*s 1'),
  family('J 0, kJ 1, MJ 1, GJ 1'),
  family('W 0, kW 1, MW 1, GW 1'),
  family('m/s 0, km/s 20'),
  family('m/s^2 0'),
  family('g/s 0, kg/s 0.1'),
  family('kg/m^3 0'),
  family('W/m^2 0, kW/m^2 1, MW/m^2 1'),
  family('J/m^2 0, kJ/m^2 1, MJ/m^2 1'),
  family('J/kg 0, kJ/kg 1, MJ/kg 1'),
  family('deg 0'),
  family('deg/s 0'),
  family('N*s/m^2 0'),
]

function family(text: string): Family {
  const members = text.split(', ').map(member => {
    const [symbol, from] = member.split(' ')
    return { unit: known(symbol!), from: Number(from) }
  })
  return { dimension: members[0]!.unit.dimension, members }
}

function known(text: string): Unit {
  const parsed = parseUnit(text)
  if ('fault' in parsed) throw new Error(parsed.fault.message)
  return parsed.unit
}

/**
 * The unit to show a quantity in: the preferred one where it fits the dimension, else the one in which the number reads
 * well, else the base units.
 */
export function displayUnit(dimension: Dimension, si: number, preferred?: Unit): Unit {
  if (preferred && same(preferred.dimension, dimension)) return preferred
  const found = FAMILIES.find(each => same(each.dimension, dimension))
  if (!found) return baseUnit(dimension)
  // Zero and no value say nothing of a size: the unit without a prefix.
  const size = si === 0 || Number.isNaN(si) ? 1 : Math.abs(si)
  const fitting = found.members.filter(each => Math.abs(fromSI(size, each.unit)) >= each.from)
  return (fitting.at(-1) ?? found.members[0]!).unit
}

/** The coherent SI unit of a dimension: `kg*m/s^2`; plain for none. */
export function baseUnit(dimension: Dimension): Unit {
  const text = baseForm(dimension)
  return text === '' ? PLAIN : { text, dimension, multiply: 1n, divide: 1n, offset: 0n }
}

/** The next smaller unit of the same family (m for km, Pa for kPa), or null when there is none. */
export function smallerUnit(unit: Unit): Unit | null {
  for (const { members } of FAMILIES) {
    const place = members.findIndex(each => each.unit.text === unit.text)
    if (place > 0) return members[place - 1]!.unit
  }
  return null
}
