import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
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

/** Numbers of the map's axes that stand in part beneath a tag, or beneath what hides them. */
function cutNumbers(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const map = document.querySelector('[aria-labelledby="trademap"] .mapbox')!
    const over = [...map.querySelectorAll('.cover, .tagbox')].map(each => each.getBoundingClientRect())
    return [...map.querySelectorAll('.drawing text')].flatMap(each => {
      const box = each.getBoundingClientRect()
      // A line of letters is higher than its numbers.
      const [top, bottom] = [box.top + 5, box.bottom - 5]
      const meets = over.filter(o => o.left < box.right && o.right > box.left && o.top < bottom && o.bottom > top)
      const whole = meets.some(
        o => o.left <= box.left + 1 && o.right >= box.right - 1 && o.top <= top && o.bottom >= bottom,
      )
      return meets.length > 0 && !whole ? [each.textContent!] : []
    })
  })
}

/** Bold values of the flight that a limit's line runs through. */
function crossedValues(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const flight = document.querySelector('section[aria-labelledby="flight"] .drawing')!
    const lines = [...flight.querySelectorAll('line[stroke-width="1.8"]')].map(each => each.getBoundingClientRect())
    return [...flight.querySelectorAll('text[font-weight="700"]')].flatMap(each => {
      const box = each.getBoundingClientRect()
      const crossed = lines.some(
        ({ top, left, right }) => top > box.top + 4 && top < box.bottom - 4 && left < box.right && right > box.left,
      )
      return crossed ? [each.textContent!] : []
    })
  })
}

/** Words beside a lozenge that the dimension line to its limit runs through, and how many lines there are. */
function struckWords(page: Page): Promise<{ struck: string[]; lines: number }> {
  return page.evaluate(() => {
    const scales = [...document.querySelectorAll('.scale')].filter(each => each.querySelector('.dimension'))
    const struck = scales.flatMap(each => {
      const { left, right } = each.querySelector('.dimension')!.getBoundingClientRect()
      const words = [...each.querySelectorAll('.value, .distance')]
      return words.flatMap(word => {
        const box = word.getBoundingClientRect()
        return box.left < right && box.right > left ? [word.textContent!] : []
      })
    })
    return { struck, lines: scales.length }
  })
}

describe.runIf(found)('there is room on the page', () => {
  const { fresh } = atHand()

  test.each(SHEETS)('for %s, at every width', async (_, sheet) => {
    const { page, complaints } = await fresh()
    await write(page, sheet)
    for (const width of [1440, 1000, 720, 390, 320]) {
      await page.setViewportSize({ width, height: 900 })
      await told(page)
      await expect.poll(() => meeting(page), { message: `${width} px` }).toEqual([])
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width)
    }
    // What comes last is words of prices and reasons; the map of five levers alone takes as long as all the widths.
    if (sheet === heron) await answered(page)
    expect(await meeting(page)).toEqual([])
    expect(complaints).toEqual([])
  })

  test('on the map a tag cuts into no number of its axis, in the flight no value lies in a limit, and a table that goes on says so', async () => {
    const { page, complaints } = await fresh()
    for (const width of [1440, 720, 320]) {
      await page.setViewportSize({ width, height: 900 })
      // The flight is drawn as wide as the page.
      await page.waitForFunction(wide => {
        const svg = document.querySelector<SVGSVGElement>('section[aria-labelledby="flight"] .drawing svg')
        return svg && svg.viewBox.baseVal.width <= wide && svg.viewBox.baseVal.width > wide - 210
      }, width)
      await answered(page)
      for (const key of ['ArrowUp', 'ArrowDown', 'ArrowDown', 'ArrowRight']) {
        await page.focus('.mapmark')
        await page.keyboard.press(key)
        await expect.poll(() => cutNumbers(page), { message: `${width} px, ${key}` }).toEqual([])
      }
      await page.keyboard.press('Escape')
      await answered(page)
      expect(await crossedValues(page), `${width} px`).toEqual([])
      const kept = (await page.locator('.kept').boundingBox())?.height ?? 0
      expect(kept, `${width} px`).toBeLessThan(50)
    }
    const table = page.getByRole('group', { name: 'what moves what, scrolls sideways' })
    expect(await table.getAttribute('class')).toContain('goeson')
    expect(complaints).toEqual([])
  })

  test('a dimension line begins behind words that have no room beside it', async () => {
    const { page } = await fresh()
    await write(
      page,
      'fact x = 84.7 km\nshould x within 100 km to 110 km\nshould x at most 40 km\nshould x at least 70 km\n',
    )
    for (const width of [1440, 720]) {
      await page.setViewportSize({ width, height: 900 })
      await told(page)
      await expect.poll(() => struckWords(page), { message: `${width} px` }).toEqual({ struck: [], lines: 3 })
    }
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
