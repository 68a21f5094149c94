import { ticks as ticksBetween } from 'd3-array'
import { formatNumber, formatQuantity } from '../../../grammar/units/choose.ts'
import type { Answer, QuantityAnswer } from '../../answer.ts'
import type { OutlineFact, OutlineLever, SheetOutline } from '../../outline.ts'
import { type Load, loadOf, takenOut } from '../../report/load.ts'
import { asNumber } from '../../report/number.ts'
import { leversOf } from '../../report/settings.ts'
import { unitNamed } from '../../report/target-words.ts'
import { verdictOf } from '../../report/verdict.ts'
import { workWords } from '../../report/work-words.ts'
import type { OpenOptions, Sheet } from '../../sheet.ts'
import type { AnswerSaid, AnswerView, FactView, FigureView, LeverView, SheetAsking } from '../spoken.ts'
import { problemViews } from './mendings.ts'
import { inUnits } from './shown-units.ts'
import { targetViews } from './targets.ts'

/** What the page draws of an answer at once; what takes longer (why, prices) is asked for by itself. */
export function answerView(
  answer: Answer,
  sheet: Sheet,
  outline: SheetOutline,
  { units, moving }: Pick<SheetAsking, 'units' | 'moving'>,
  how: OpenOptions = {},
): Omit<AnswerSaid, 'files'> {
  const { quantities, targets, aims } = inUnits(answer, units)
  const conflict = answer.outcome === 'conflict'
  const { verdict, more } = conflict ? { verdict: conflictAtFirst(answer), more: '' } : verdictOf(answer)
  return {
    title: sheet.title,
    outcome: answer.outcome,
    verdict,
    more,
    work: conflict ? '' : quickWork(answer),
    levers: outline.levers.flatMap(lever => leverView(lever, quantities[lever.name])),
    load: conflict ? null : loadView(answer, quantities),
    targets: targetViews(targets, quantities, outline.targets, units !== 'sheet'),
    aims: aims.map(aim => ({
      text: aim.text,
      value: aim.si === null ? 'no value' : formatQuantity(asNumber(aim.si), unitNamed(aim.unit ?? ''), 4),
    })),
    figures: moving && !moving.figures ? null : figureViews(quantities, answer),
    facts: outline.facts.map(fact => factView(fact, quantities[fact.name])),
    problems: problemViews(sheet.text, answer.problems, how),
    varies: sheet.variantFiles.length > 0,
    outline: moving?.placed ? null : outline,
  }
}

/** The conflict before its reasons are known, which are looked for next: no more than what has been seen by then. */
function conflictAtFirst({ quantities, targets }: Answer): string {
  const musts = targets.filter(({ level }) => level === 'must').length === 1 ? 'the must' : 'every must'
  const levers = Object.values(quantities).filter(({ role }) => role === 'lever')
  if (levers.length === 0) return `Conflict: the sheet as it stands does not meet ${musts}.`
  if (levers.every(({ pinned }) => pinned)) return `Conflict: the pinned settings do not meet ${musts}.`
  return `Conflict: no setting was found that meets ${musts}.`
}

/** How the settings were come by, without what explaining them will cost. */
function quickWork({ outcome, optimum, tried, work }: Answer): string {
  if (outcome === 'unsure') return tried ? `Tried: ${tried}` : ''
  return workWords({ outcome, optimum, work: { flights: work.flights, milliseconds: work.milliseconds } } as Answer)
}

function leverView(lever: OutlineLever, answered: QuantityAnswer | undefined): readonly LeverView[] {
  if (!answered || !lever.range) return []
  const [from, to] = lever.range
  const [number, unit] = parted(answered.text)
  const { per, zero } = lever.unit
  const ticks = ticksBetween((from - zero) / per, (to - zero) / per, 7).map(value => ({
    at: (zero + per * value - from) / (to - from),
    text: formatNumber(value, 4),
  }))
  return [
    {
      name: lever.name,
      description: lever.description,
      number,
      unit: { ...lever.unit, text: unit },
      si: asNumber(answered.si),
      from,
      to,
      settings: lever.settings,
      ticks,
      pinned: answered.pinned ?? false,
    },
  ]
}

function parted(text: string): readonly [string, string] {
  const at = text.indexOf(' ')
  return at === -1 ? [text, ''] : [text.slice(0, at), text.slice(at + 1)]
}

function loadView(answer: Answer, shown: Answer['quantities']): AnswerView['load'] {
  if (answer.outcome !== 'solved') return null
  for (const [, lever] of leversOf(answer.quantities)) {
    const load = loadOf(lever, answer.quantities)
    if (!load) continue
    const [number, unit] = parted(shown[load.made[0]]!.text)
    const full = fullIn(load, shown[load.made[0]]!.unit)
    const words = `Full is ${full.text}: take out ${takenOut({ ...load, full: [load.full[0], full] })}.`
    return { name: load.made[0], number, unit, words }
  }
  return null
}

/** A full load as the sheet writes it, or in the unit of the number beside it where the reader has chosen another. */
function fullIn({ made, full: [, full] }: Load, unit: string): QuantityAnswer {
  if (unit === made[1].unit) return full
  return { ...full, unit, text: formatQuantity(asNumber(full.si), unitNamed(unit), 4) }
}

/** The sheet's own figures and the flights', each once. */
function figureViews(quantities: Answer['quantities'], { flights }: Answer): readonly FigureView[] {
  const names = Object.keys(flights)
  return Object.entries(quantities).flatMap(([name, quantity]) => {
    if (quantity.role !== 'figure') return []
    const twice = names.length === 1 && name.endsWith(` of ${names[0]}`)
    return twice ? [] : [{ name, text: quantity.si === null ? 'none' : quantity.text, reason: quantity.reason ?? null }]
  })
}

function factView(fact: OutlineFact, answered: QuantityAnswer | undefined): FactView {
  return {
    name: fact.name,
    written: fact.value.text,
    text: answered?.text ?? fact.value.text,
    si: typeof answered?.si === 'number' ? answered.si : null,
    description: fact.description,
    at: fact.value.at,
    whole: fact.whole,
    ...rangeOffered(fact),
  }
}

/** A fact made a lever may move a fifth either way; a zero has no fifth, and what is worked out no number to move. */
function rangeOffered({ name, value }: OutlineFact): Pick<FactView, 'lever' | 'each'> {
  const none = { lever: null, each: null }
  if (!value.unit) return none
  const number = Number.parseFloat(value.text.replace('−', '-'))
  if (!Number.isFinite(number) || number === 0) return none
  const ends = [0.8 * number, 1.2 * number].sort((a, b) => a - b).map(end => Number(end.toPrecision(3)))
  const unit = value.unit.text === '' ? '' : ` ${value.unit.text}`
  return {
    lever: `lever ${name} from ${ends[0]}${unit} to ${ends[1]}${unit}`,
    each: `each ${name} over ${value.text}, ${ends[1]}${unit}`,
  }
}
