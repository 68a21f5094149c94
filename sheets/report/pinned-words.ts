import { listed } from './listed.ts'

/**
 * "This is with throttle cap pinned at 90 %.", of levers and the texts of their values; nothing where none is pinned. What a hand has set may be all that
 * stands in the way of a conflict, and no target tells of it. `tie`: what holds a value together; a name may be longer than a line.
 */
export function pinnedWords(levers: readonly (readonly [name: string, text: string])[], tie = ' '): string {
  const told = levers.map(([name, text]) => `${name} pinned at ${text.replaceAll(' ', tie)}`)
  return told.length === 0 ? '' : `This is with ${listed(told)}.`
}
