import type { Problem } from '../../grammar/source.ts'
import type { CheckAnswer } from '../answer.ts'
import { examine } from './doctor.ts'
import type { Opened } from './opened.ts'
import type { Session } from './session.ts'

/**
 * What is known, free, worked out, asked for and left over, by name; a flight's figures as `FIGURE` where that is enough. A sound
 * sheet (`session`; null where something is wrong) is also examined: see `examine`.
 */
export function checkAnswer(opened: Opened, problems: readonly Problem[], session: Session | null): CheckAnswer {
  const named = (wanted: string): string[] =>
    opened.shown.filter(({ id }) => roleOf(opened, id) === wanted).map(({ names }) => names[0]!)
  const examined = session ? examine(session) : { warnings: [], remarks: [], leftOver: [] }
  return {
    problems: [...problems, ...examined.warnings].sort((a, b) => a.line - b.line || a.column - b.column),
    known: named('fact'),
    levers: named('lever'),
    'worked out': named('figure'),
    targets: opened.targets.map(target => target.text),
    'left over': examined.leftOver,
    remarks: examined.remarks,
  }
}

function roleOf(opened: Opened, id: number): string {
  const { role } = opened.model.quantities[id]!
  return role === 'flown' ? 'figure' : role
}
