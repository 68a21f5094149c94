import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'
import { heron, write } from './hands.ts'

const SHEETS = [
  ['a setting of nine digits', readFileSync('sheets/examples/range-limit.loft', 'utf8')],
  [
    'five levers',
    heron
      .replace('fact  dry mass          = 165 kg', 'lever dry mass from 150 kg to 180 kg')
      .replace('fact  specific impulse  = 242 s', 'lever specific impulse from 230 s to 250 s in steps of 0.5 s')
      .replace('fact  drag coefficient  = 0.42', 'lever drag coefficient from 0.3 to 0.6'),
  ],
  ['the Heron', heron],
] as const

/** Words of the settings and scales that lie over one another, or beyond their place. */
function meeting(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const all = [
      ...document.querySelectorAll('.setting .large, .setting h2, .ruler .ticks, .scale :is(.ticks, .limitwords)'),
    ]
    const boxes = all.map(each => {
      const range = document.createRange()
      range.selectNodeContents(each)
      return { box: range.getBoundingClientRect(), words: each.textContent, home: each.closest('.setting, .scale')! }
    })
    return boxes.flatMap(({ box, words, home }, k) => {
      const around = home.getBoundingClientRect()
      const out = box.right > around.right + 12 || box.left < around.left - 12 ? [`${words} beyond its place`] : []
      const over = boxes.slice(k + 1).filter(other => {
        const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left)
        return across > 0 && Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top) > 6
      })
      return [...out, ...over.map(other => `${words} over ${other.words}`)]
    })
  })
}

describe.runIf(found)('there is room on the page', () => {
  const { fresh } = atHand()

  test.each(SHEETS)('for %s, at every width', async (_, sheet) => {
    const { page, complaints } = await fresh()
    await write(page, sheet)
    for (const width of [1440, 1000, 720, 390, 320]) {
      await page.setViewportSize({ width, height: 900 })
      await answered(page)
      await expect.poll(() => meeting(page), { message: `${width} px` }).toEqual([])
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width)
    }
    expect(complaints).toEqual([])
  })

  test('names from right to left leave a statement in its order', async () => {
    const { page } = await fresh()
    await write(page, 'fact תמונה = 12 kg\nlever دفع from 1 kg to 9 kg\nmust دفع + תמונה at least 20 kg\n')
    await answered(page)
    // Where the letters of a line stand, from left to right, by what they belong to.
    const order = await page.evaluate(() => {
      const line = document.querySelector('.editor')!.shadowRoot!.querySelector('.cm-line')!
      const walk = document.createTreeWalker(line, NodeFilter.SHOW_TEXT)
      const parts: { words: string; at: number }[] = []
      for (let node = walk.nextNode(); node; node = walk.nextNode()) {
        const words = node.textContent!.trim()
        const range = document.createRange()
        range.selectNodeContents(node)
        if (words !== '') parts.push({ words, at: range.getBoundingClientRect().left })
      }
      return parts.sort((a, b) => a.at - b.at).map(({ words }) => words)
    })
    expect(order.join(' ').replace(/\s+/g, ' ')).toBe('fact תמונה = 12 kg')
    const said = await page.locator('.setting .pointer').getAttribute('aria-valuetext')
    expect(said).toMatch(/^دفع \d kg/)
  })
})
