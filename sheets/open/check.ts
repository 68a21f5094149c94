import type { Problem } from '../../grammar/source.ts'
import type { CheckAnswer } from '../answer.ts'
import type { Opened } from './opened.ts'

/** What is known, free, worked out and asked for, by name; a flight's figures as `FIGURE` where that is enough. */
export function checkAnswer(opened: Opened, problems: readonly Problem[]): CheckAnswer {
  const named = (wanted: string): string[] =>
    opened.shown.filter(({ id }) => roleOf(opened, id) === wanted).map(({ names }) => names[0]!)
  return {
    problems,
    known: named('fact'),
    levers: named('lever'),
    'worked out': named('figure'),
    targets: opened.targets.map(target => target.text),
  }
}

function roleOf(opened: Opened, id: number): string {
  const { role } = opened.model.quantities[id]!
  return role === 'flown' ? 'figure' : role
}
