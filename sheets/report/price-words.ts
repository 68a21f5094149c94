import type { Answer } from '../answer.ts'
import { TIE } from './marked.ts'
import { capital } from './verdict.ts'

/** What moving the limits would be worth, where it is worth something, and the fact that matters most: a sentence each. */
export function priceWords(answer: Answer): readonly string[] {
  const prices = answer.targets.flatMap(({ price }) => (price && price.si > 0 ? [price] : []))
  const said = prices.map(price => `${capital(price.text)}.`)
  const next = prices.flatMap(({ next }) => {
    if (!next) return []
    const settings = Object.entries(next.settings).map(([name, { text }]) => `${name} ${text}`.replaceAll(' ', TIE))
    return [`With ${next.text} the settings would be ${settings.join(', ')}.`]
  })
  return [...said, ...next, ...(answer.decides ? [answer.decides.text] : [])]
}
