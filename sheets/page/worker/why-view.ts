import type { Answer, MendAnswer } from '../../answer.ts'
import { sensitivityTable } from '../../report/sensitivities.ts'
import { cutWords, thoseWords } from '../../report/verdict.ts'
import { workWords } from '../../report/work-words.ts'
import type { Sheet } from '../../sheet.ts'
import type { WorkingHold } from '../../working.ts'
import type { WhyView } from '../spoken.ts'

/** Why the answer is as it is: conflicts with their mends, prices, what holds each lever. Costs several solves. */
export function whyView(sheet: Sheet, answer: Answer, set: Readonly<Record<string, number>>): WhyView {
  const sets = answer.conflict?.sets ?? []
  return {
    conflict: sets.map((each, place) => ({
      words: `${thoseWords(each)}.`,
      targets: each.targets,
      ranges: each.ranges,
      evidence:
        place < sets.length - 1 ? workWords(answer) : [workWords(answer), cutWords(answer)].filter(Boolean).join('. '),
      mends: [...each.mends].sort((a, b) => share(a) - share(b)).map(mendView),
    })),
    prices: Object.fromEntries(
      answer.targets.flatMap(({ text, price }) => (price && price.si > 0 ? [[text, price.text] as const] : [])),
    ),
    held: heldWords(sheet, answer, set),
    decides: answer.decides?.text ?? null,
    sensitivities: answer.outcome === 'solved' ? sensitivityTable(answer) : { targets: [], rows: [] },
  }
}

function share({ si, by }: MendAnswer): number {
  return Math.abs(by) / (Math.abs(si - by) || Number.MIN_VALUE)
}

function mendView({ text, change, settings, target }: MendAnswer): WhyView['conflict'][number]['mends'][number] {
  const told = Object.entries(settings).map(([name, setting]) => `${name} ${setting.text}`)
  return { text, change, leaves: told.length === 0 ? '' : `then ${told.join(', ')}`, target }
}

function heldWords(
  sheet: Sheet,
  { outcome, quantities }: Answer,
  set: Readonly<Record<string, number>>,
): Readonly<Record<string, string>> {
  if (outcome !== 'solved') return {}
  const levers = Object.entries(quantities).filter(([, { role, pinned }]) => role === 'lever' && !pinned)
  return Object.fromEntries(
    levers.map(([name]) => [name, holdWords(sheet.working(name, { set, deep: 0 }).steps[0]?.held ?? [])]),
  )
}

function holdWords(held: readonly WorkingHold[]): string {
  const told = held.map(({ way, by, text }) =>
    by === 'aim'
      ? `held ${way} by the aim, ${text}`
      : by === 'range'
        ? `at the end of its range, ${text}`
        : `held ${way} by ${text}`,
  )
  return told.length === 0 ? 'free: nothing limits it' : told.slice(0, 2).join('; ')
}
