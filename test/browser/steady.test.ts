import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'
import { heron, write } from './hands.ts'

/** Where the parts of the page lie on it, frame by frame, until it is asked for. */
interface Watched extends Window {
  places?: number[][]
}

/** Takes a handle and moves it to and fro; the hand stays down. */
async function swing(page: Page, handle: string, across: number, up: number): Promise<void> {
  const tab = page.locator(handle)
  await tab.scrollIntoViewIfNeeded()
  const box = (await tab.boundingBox())!
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  await page.mouse.down()
  for (const share of [0.5, 1, -0.5, -1, 0.2]) await page.mouse.move(x + share * across, y + share * up, { steps: 8 })
}

async function watch(page: Page): Promise<void> {
  await page.evaluate(() => {
    const all: number[][] = []
    const seen = window as Watched
    seen.places = all
    const parts = [...document.querySelectorAll('main > section, .beside > section, .setting, .target')]
    const look: FrameRequestCallback = () => {
      if (seen.places !== all) return
      all.push(parts.map(part => part.getBoundingClientRect().top + scrollY))
      requestAnimationFrame(look)
    }
    requestAnimationFrame(look)
  })
}

function watched(page: Page): Promise<number[][]> {
  return page.evaluate(() => {
    const { places = [] } = window as Watched
    delete (window as Watched).places
    return places
  })
}

/** How many parts are held at a height; the editor's own are not of the page. */
function heldTall(page: Page): Promise<number> {
  return page.evaluate(() => document.querySelectorAll('[style*="min-height"]').length)
}

describe.runIf(found)('while a hand moves', () => {
  const { fresh } = atHand()

  test.each([
    ['a lever', '.setting:nth-child(2) .pointer', 90, 0],
    ['a limit', '[data-limit="peak g high"]', 60, 0],
    ['the mark of the map', '.mapmark', 120, 60],
  ] as const)('nothing on the page goes up: %s', async (_, handle, across, up) => {
    const { page, complaints } = await fresh()
    await answered(page)
    await watch(page)
    await swing(page, handle, across, up)
    const places = await watched(page)
    expect(places.length).toBeGreaterThan(10)
    const first = places[0]!
    expect(first.length).toBeGreaterThan(10)
    places.slice(1).forEach((now, frame) => {
      now.forEach((top, part) => {
        expect([part, top + 0.01 >= places[frame]![part]!]).toEqual([part, true])
      })
    })
    expect(await heldTall(page)).toBeGreaterThan(10)
    await page.mouse.up()
    await answered(page)
    expect(await heldTall(page)).toBe(0)
    expect(complaints).toEqual([])
  })

  test('a limit under the hand stays on its tick, and the numbers of its scale stand still', async () => {
    const { page } = await fresh()
    await answered(page)
    const look = () =>
      page.evaluate(() => {
        const tab = document.querySelector('[data-limit="peak g high"]')!
        const scale = tab.closest('svg')!
        const places = [...scale.querySelectorAll('line.tick')].map(line => Number(line.getAttribute('x1')))
        const numbers = [...scale.querySelectorAll('.ticks')].map(each => [each.getAttribute('x'), each.textContent])
        return { tab: Number(/translate\(([-\d.]+)/.exec(tab.getAttribute('transform')!)![1]), places, numbers }
      })
    const before = await look()
    expect(before.tab).toBeCloseTo(before.places[0]!, 1)
    await swing(page, '[data-limit="peak g high"]', 60, 0)
    await answered(page)
    const now = await look()
    expect(now.numbers).toEqual(before.numbers)
    expect(now.tab).not.toBe(before.tab)
    // The limit is written in steps finer than a pixel and a half.
    expect(Math.abs(now.tab - now.places[0]!)).toBeLessThan(1.5)
    await page.mouse.up()
    await answered(page)
    // Let go, the scale is drawn about the new limit.
    const after = await look()
    expect(after.tab).toBeCloseTo(before.tab, 1)
    expect(after.numbers).not.toEqual(before.numbers)
  })

  test('a conflict that was there stays in pencil, its mends out of reach', async () => {
    const { page } = await fresh()
    await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
    await answered(page)
    const told = page.locator('.these li')
    const before = await told.allTextContents()
    expect(before).toHaveLength(3)
    await swing(page, '.setting:nth-child(2) .pointer', 90, 0)
    await page.waitForFunction(() => document.querySelector('.verdict')?.textContent?.includes('At these settings'))
    expect(await page.locator('.conflict.stale').count()).toBe(1)
    expect(await told.allTextContents()).toEqual(before)
    expect(await page.locator('.mends button:not([aria-disabled="true"])').count()).toBe(0)
    expect(await page.locator('.mends button').count()).toBe(3)
    await page.mouse.up()
    await answered(page)
    // The lever is pinned by now: another conflict, told anew.
    expect(await page.locator('.conflict.stale').count()).toBe(0)
    expect(await page.locator('.these li').count()).toBeGreaterThan(0)
  })

  test('what moves what, and prices, stay in pencil until they are known anew', async () => {
    const { page } = await fresh()
    await answered(page)
    await watch(page)
    await page.evaluate(() => {
      const seen = window as Window & { gone?: boolean }
      const look = new MutationObserver(() => {
        if (!document.querySelector('#moves')) seen.gone = true
      })
      look.observe(document.body, { childList: true, subtree: true })
    })
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.evaluate(() => (window as Window & { gone?: boolean }).gone)).toBeUndefined()
    expect(await page.locator('section.stale, .second.stale').count()).toBe(0)
    const places = await watched(page)
    // Prices of the new answer may be longer or shorter: there is one step from the old place to the new at most.
    const steps = places.slice(1).filter((now, frame) => now.some((top, part) => top < places[frame]![part]! - 0.01))
    expect(steps.length).toBeLessThanOrEqual(1)
  })

  test('a search is no longer told of once its answer is there, however long that takes to explain', async () => {
    const { page, complaints } = await fresh()
    await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
    await answered(page)
    expect(await page.locator('.these li').count()).toBe(3)
    // Work is told of when it has taken a second.
    await page.waitForTimeout(1300)
    expect(await page.textContent('body')).not.toMatch(/searching, |working it out/)
    expect(complaints).toEqual([])
  })
})
