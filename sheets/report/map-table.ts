import { fromSI } from '../../grammar/units/unit.ts'
import type { MapAnswer, MapPlace } from '../map-answer.ts'
import { unitNamed } from './target-words.ts'

/**
 * A trade map as the rows of a CSV file: what a place belongs to (`region`, `wanted`, `pad` with the number of their ring, `line` with target
 * and end, `aim` with its value, `setting`, `solution`, `compromise`), then the place in the levers' own units.
 */
export function mapTable(map: MapAnswer): readonly (readonly string[])[] {
  const [across, up] = [unitNamed(map.units.across), unitNamed(map.units.up)]
  const named = (name: string, unit: string): string => (unit === '' ? name : `${name} [${unit}]`)
  const row = (part: string, of: string, piece: number, [x, y]: MapPlace): readonly string[] => [
    part,
    of,
    String(piece),
    String(fromSI(x, across)),
    String(fromSI(y, up)),
  ]
  const rings = (part: 'region' | 'wanted' | 'pad') =>
    map[part].flatMap((ring, place) => ring.map(at => row(part, '', place + 1, at)))
  return [
    ['part', 'of', 'piece', named(map.across, map.units.across), named(map.up, map.units.up)],
    ...rings('region'),
    ...rings('wanted'),
    ...rings('pad'),
    ...map.lines.flatMap(({ target, end, points }, place) =>
      points.map(at => row('line', `${target}, ${end} end`, place + 1, at)),
    ),
    ...(map.aim?.contours ?? []).flatMap(({ text, points }, place) =>
      points.map(at => row('aim', `${map.aim!.text}: ${text}`, place + 1, at)),
    ),
    ...map.settings.map(at => row('setting', '', 1, at)),
    ...(map.solution ? [row('solution', '', 1, map.solution)] : []),
    ...(map.compromise ? [row('compromise', '', 1, map.compromise)] : []),
  ]
}
