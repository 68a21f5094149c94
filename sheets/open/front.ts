import { error, OUTSIDE, type Problem } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import { type Front, frontAt } from '../../solver/index.ts'
import { type FrontAnswer, type FrontPoint, type FrontRequest, MOST_POINTS } from '../map-answer.ts'
import { unitFor } from './answer-quantities.ts'
import type { Compiled } from './compiled.ts'
import { find } from './find.ts'
import { settingsAt } from './mend.ts'
import type { AimInfo, Opened } from './opened.ts'
import { soundSession } from './solve.ts'

const POINTS = 33

/** The front of a sheet's first two aims. */
export function frontAnswer(
  compiled: Compiled | null,
  opened: Opened,
  name: string,
  { set = {}, points = POINTS }: FrontRequest,
  elapsed: () => number,
): FrontAnswer {
  const nothing = (outcome: FrontAnswer['outcome'], problems: readonly Problem[]): FrontAnswer => ({
    sheet: opened.title || name,
    outcome,
    aims: [],
    units: [],
    points: [],
    knee: null,
    text: '',
    problems,
    work: { milliseconds: elapsed() },
  })
  if (!compiled) return nothing('faulty', opened.problems)
  const { session, problems, wrong } = soundSession(compiled, set)
  if (wrong) return nothing('faulty', problems)
  const aims = opened.aims.slice(0, 2)
  if (aims.length < 2 || aims.some(aim => aim.text === 'roomiest'))
    return nothing('faulty', [...problems, needsTwo(aims.length)])
  const { result, widths } = find(session)
  if (result.outcome !== 'solved') return nothing(result.outcome, problems)
  const ranges = [...session.state.free].map(lever => session.ranges[lever]!.range)
  const front = frontAt(session.state, ranges, widths, Math.min(MOST_POINTS, Math.max(2, Math.round(points))))
  if (!front) return nothing('unsure', problems)
  const units = [0, 1].map(place => unitOf(opened, aims[place]!, front, place as 0 | 1)) as [Unit, Unit]
  const told = front.places.map(
    ({ x, first, second }): FrontPoint => ({
      settings: settingsAt(session, x),
      aims: [first, second],
      texts: [formatQuantity(first, units[0], 4), formatQuantity(second, units[1], 4)],
    }),
  )
  return {
    sheet: opened.title || name,
    outcome: 'solved',
    aims: aims.map(aim => aim.text),
    units: units.map(unit => unit.text),
    points: told,
    knee: front.knee === -1 ? null : front.knee,
    text: words(aims, told, front.knee),
    problems,
    work: { milliseconds: elapsed() },
  }
}

function needsTwo(count: number): Problem {
  return error(
    OUTSIDE,
    count < 2
      ? 'A front needs two aims; this sheet has fewer.'
      : 'A front needs two aims on quantities; "roomiest" is none.',
    'Write two lines, such as "aim least propellant mass" and "aim most apoapsis".',
  )
}

function unitOf({ info }: Opened, aim: AimInfo, { places }: Front, place: 0 | 1): Unit {
  const like = aim.id === null ? null : info[aim.id]!
  const values = places.map(each => (place === 0 ? each.first : each.second))
  const largest = Math.max(...values.map(Math.abs))
  return unitFor({ dimension: aim.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null }, largest)
}

/** "From … to …; the knee is at …: beyond it … costs more". */
function words(aims: readonly AimInfo[], points: readonly FrontPoint[], knee: number): string {
  const [first, last] = [points[0]!, points.at(-1)!]
  const [one, two] = aims.map(aim => aim.text.replace(/^(least|most) /, ''))
  if (points.length < 2) return `Both aims are best at once: ${one} ${first.texts[0]}, ${two} ${first.texts[1]}.`
  const ends = `From ${one} ${first.texts[0]} with ${two} ${first.texts[1]} to ${one} ${last.texts[0]} with ${two} ${last.texts[1]}.`
  if (knee === -1) return `${ends} The trade is even all along.`
  const at = points[knee]!
  return `${ends} The knee is at ${one} ${at.texts[0]}, ${two} ${at.texts[1]}: there the trade turns.`
}
