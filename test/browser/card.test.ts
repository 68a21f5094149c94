import { describe, expect, test } from 'vitest'
import { cardOf, expectOnePage } from '../support/card.ts'
import { atHand, found } from './at-hand.ts'
import { heron } from './hands.ts'

/** A sheet with many levers, targets and facts. */
const crowded = [
  ...Array.from(
    { length: 30 },
    (_, k) =>
      `fact number ${'abcdefghijklmnopqrstuvwxyzABCD'[k]} = ${k + 1} kg # from a long list of things that were weighed`,
  ),
  ...Array.from({ length: 6 }, (_, k) => `lever share ${'abcdef'[k]} from 0 % to 100 % in steps of 1 %`),
  ...Array.from({ length: 14 }, (_, k) => `must share ${'abcdef'[k % 6]} + ${k} % at least ${20 + k} %`),
].join('\n')

describe.runIf(found)('the flight card, printed', () => {
  const { apart } = atHand()

  test.each([
    ['the Heron', heron],
    ['a crowded sheet', crowded],
    ['a conflict', heron.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')],
  ])('of %s is exactly one page, on A4 and on Letter, and nothing of it is cut off', async (_, text) => {
    const { page } = await apart()
    for (const paper of ['A4', 'letter'] as const) {
      await page.setContent(cardOf(text, paper))
      expectOnePage(await page.pdf({ preferCSSPageSize: true }), paper)
      const over = await page.evaluate(() => {
        const main = document.querySelector('main')!
        return main.scrollHeight - main.clientHeight
      })
      expect(over).toBeLessThanOrEqual(1)
    }
  })
})
