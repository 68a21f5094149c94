import { baseForm, type Dimension, dimension, same } from './dimension.ts'
import { fromSI, PLAIN, parseUnit, type Unit } from './unit.ts'

export { exactText, formatNumber, formatQuantity, type NumberLook } from './format.ts'

/**
 * The units in which a quantity of no particular wish is shown, from small to large, each with the least number shown in
 * it; the largest that fits is taken. Common practice, no source.
 */
export const FAMILIES: readonly (readonly [Dimension, string])[] = [
  [dimension(1), 'mm 0, cm 1, m 0.1, km 1'],
  [dimension(2), 'cm^2 0, m^2 0.01, km^2 1'],
  [dimension(3), 'cm^3 0, L 0.1, m^3 1'],
  [dimension(0, 1), 'g 0, kg 0.1, t 10'],
  [dimension(0, 0, 1), 'ms 0, s 0.1'],
  [dimension(-1, 1, -2), 'Pa 0, kPa 1, MPa 1'],
  [dimension(1, 1, -2), 'N 0, kN 1, MN 1'],
  [dimension(1, 1, -1), 'N*s 0, kN*s 1, MN*s 1'],
  [dimension(2, 1, -2), 'J 0, kJ 1, MJ 1, GJ 1'],
  [dimension(2, 1, -3), 'W 0, kW 1, MW 1, GW 1'],
  [dimension(1, 0, -1), 'm/s 0, km/s 20'],
  [dimension(0, 1, -1), 'g/s 0, kg/s 0.1'],
  [dimension(0, 1, -3), 'W/m^2 0, kW/m^2 1, MW/m^2 1'],
  [dimension(0, 1, -2), 'J/m^2 0, kJ/m^2 1, MJ/m^2 1'],
  [dimension(2, 0, -2), 'J/kg 0, kJ/kg 1, MJ/kg 1'],
  [dimension(0, 0, 0, 0, 1), 'deg 0'],
  [dimension(0, 0, -1, 0, 1), 'deg/s 0'],
  [dimension(-1, 1, -1), 'Pa*s 0'],
]

interface Member {
  readonly unit: Unit
  readonly from: number
}

/** The families asked for so far. */
const MEMBERS = new Map<string, readonly Member[]>()

function membersOf(text: string): readonly Member[] {
  const known = MEMBERS.get(text)
  if (known) return known
  const members = text.split(', ').map(member => {
    const [symbol, from] = member.split(' ')
    return { unit: unitOf(symbol!), from: Number(from) }
  })
  MEMBERS.set(text, members)
  return members
}

function unitOf(text: string): Unit {
  const parsed = parseUnit(text)
  if ('fault' in parsed) throw new Error(parsed.fault.message)
  return parsed.unit
}

/**
 * The unit to show a quantity in: the preferred one where it fits the dimension, else the one in which the number reads
 * well, else the base units.
 */
export function displayUnit(of: Dimension, si: number, preferred?: Unit): Unit {
  if (preferred && same(preferred.dimension, of)) return preferred
  const family = FAMILIES.find(([each]) => same(each, of))
  if (!family) return baseUnit(of)
  // Zero and no value say nothing of a size: the unit without a prefix.
  const size = si === 0 || Number.isNaN(si) ? 1 : Math.abs(si)
  const members = membersOf(family[1])
  const fitting = members.filter(each => Math.abs(fromSI(size, each.unit)) >= each.from)
  return (fitting.at(-1) ?? members[0]!).unit
}

/** The coherent SI unit of a dimension: `kg*m/s^2`; plain for none. */
export function baseUnit(of: Dimension): Unit {
  const text = baseForm(of)
  return text === '' ? PLAIN : { text, dimension: of, multiply: 1n, divide: 1n, offset: 0n }
}

/** The next smaller unit of the same family (m for km, Pa for kPa), or null when there is none. */
export function smallerUnit(unit: Unit): Unit | null {
  for (const [, text] of FAMILIES) {
    const symbols = text.split(', ').map(member => member.split(' ')[0]!)
    const place = symbols.indexOf(unit.text)
    if (place > 0) return unitOf(symbols[place - 1]!)
  }
  return null
}
