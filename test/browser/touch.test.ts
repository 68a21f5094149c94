import type { CDPSession, Locator, Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'

/** Draws a finger over the page from the middle of something. */
async function swipe(page: Page, line: CDPSession, selector: string, dx: number, dy: number): Promise<void> {
  await answered(page)
  const from = page.locator(selector)
  await from.scrollIntoViewIfNeeded()
  const box = (await from.boundingBox())!
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', share: number) =>
    line.send('Input.dispatchTouchEvent', {
      type,
      touchPoints: type === 'touchEnd' ? [] : [{ x: x + share * dx, y: y + share * dy }],
    })
  await touch('touchStart', 0)
  for (let k = 1; k <= 10; k++) await touch('touchMove', k / 10)
  await touch('touchEnd', 1)
  await answered(page)
}

const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true } as const

/** Whether all of it lies in the window. */
function inSight(what: Locator): Promise<boolean> {
  return what.evaluate(each => {
    const { top, bottom, left, right } = each.getBoundingClientRect()
    return bottom > top && top >= -1 && left >= -1 && bottom <= innerHeight + 1 && right <= innerWidth + 1
  })
}

describe.runIf(found)('by a finger, on a phone', () => {
  const { apart, here } = atHand()

  test('limits, levers and the mark of the map are dragged while the page stays, and else it scrolls', async () => {
    const { page, context, complaints } = await apart(PHONE)
    await page.goto(here().address)
    await answered(page)
    const line = await context.newCDPSession(page)
    const scrolled = (): Promise<number> => page.evaluate(() => Math.round(scrollY))

    const tab = page.locator('[data-limit="peak g high"]')
    await tab.locator('.tab').scrollIntoViewIfNeeded()
    const place = async (): Promise<number> => (await tab.locator('.tab').boundingBox())!.y
    const before = await place()
    await swipe(page, line, '[data-limit="peak g high"] .tab', -40, 30)
    // A page that went with the finger would be farther on by 30; to be brought into sight moves it a pixel at times.
    expect(Math.abs((await place()) - before)).toBeLessThan(5)
    const limit = Number(/at most ([\d.]+) g0/.exec((await tab.getAttribute('aria-label'))!)![1])
    expect(limit).toBeGreaterThan(4)
    expect(limit).toBeLessThan(5.9)

    await swipe(page, line, '.setting:nth-child(1) .pointer .tab', -60, 20)
    expect(await page.locator('.setting:nth-child(1) .held').textContent()).toBe('pinned')
    const setting = await page.textContent('.setting:nth-child(1) .large')
    await page.locator('.setting:nth-child(1) button').click()
    await answered(page)
    expect(await page.textContent('.setting:nth-child(1) .large')).not.toBe(setting)

    // The mark of the map goes with the finger as long as it is down; let go, and the sheet is solved again.
    const said = await page.getAttribute('.mapmark', 'aria-valuetext')
    await page.evaluate(() => {
      const seen = new Set<string>()
      Object.assign(globalThis, { seen })
      const mark = document.querySelector('.mapmark')!
      new MutationObserver(() => seen.add(mark.getAttribute('aria-valuetext')!)).observe(mark, { attributes: true })
    })
    await swipe(page, line, '.mapmark .lozenge', -60, 40)
    expect(await page.evaluate(() => (globalThis as unknown as { seen: Set<string> }).seen.size)).toBeGreaterThan(1)
    expect(await page.getAttribute('.mapmark', 'aria-valuetext')).toBe(said)

    await page.locator('#targets').scrollIntoViewIfNeeded()
    const top = await scrolled()
    await swipe(page, line, '#targets', 0, -200)
    await expect.poll(scrolled).toBeGreaterThan(top + 100)
    expect(complaints).toEqual([])
  })

  test('a finger that presses a tab or a pointer types its value', async () => {
    const { page, complaints } = await apart(PHONE)
    await page.goto(here().address)
    await answered(page)
    const large = page.locator('.page > main > .settings > .setting:nth-child(1) .large')
    for (const [handle, words, shown] of [
      ['[data-limit="peak g high"] .tab', '5.5 g0', page.locator('.target', { hasText: 'peak g' }).first()],
      ['.setting:nth-child(1) .pointer .tab', '88', large],
    ] as const) {
      const tab = page.locator(handle)
      await tab.scrollIntoViewIfNeeded()
      const box = (await tab.boundingBox())!
      await page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2)
      const field = page.locator('.typing input')
      expect(await field.evaluate(each => each === document.activeElement)).toBe(true)
      await field.fill(words)
      await page.keyboard.press('Enter')
      await answered(page)
      expect(await page.locator('.typing').count()).toBe(0)
      expect((await shown.textContent())!.replace(/\s/g, ' ')).toContain(words)
    }
    expect(complaints).toEqual([])
  })

  test('the cursor of the flight stays where a finger pointed, and can be read there', async () => {
    const { page } = await apart(PHONE)
    await page.goto(here().address)
    await answered(page)
    // Of the strips only the upper half is in sight.
    await page.evaluate(() =>
      scrollTo(0, document.querySelector('svg.takes')!.getBoundingClientRect().top + scrollY - 400),
    )
    const box = (await page.locator('svg.takes').boundingBox())!
    await page.touchscreen.tap(box.x + box.width / 2, box.y + 120)
    const told = page.locator('section[aria-labelledby="flight"] > .hint')
    await expect.poll(() => told.textContent()).toMatch(/^\d+(\.\d+)?\ss, altitude/)
    expect(await inSight(told)).toBe(true)
  })

  test('what a press makes is brought into sight, and the page goes back to where it was asked for', async () => {
    const { page } = await apart(PHONE)
    await page.goto(here().address)
    await answered(page)
    const name = page.locator('.target button', { hasText: 'peak g' })
    await name.tap()
    const working = page.locator('.working')
    await working.waitFor()
    await expect.poll(() => inSight(working.locator('h3'))).toBe(true)
    // It is laid out for the page it stands on.
    const lines = working.locator('pre')
    expect(await lines.evaluate(each => each.scrollWidth - each.clientWidth)).toBeLessThanOrEqual(1)
    expect(await lines.textContent()).toMatch(/^At the settings that solve it/)
    await working.locator('button').tap()
    await expect.poll(() => inSight(name)).toBe(true)
    expect(await name.evaluate(each => each === document.activeElement)).toBe(true)

    await page.locator('.fact', { hasText: 'dry mass' }).locator('button').tap()
    await answered(page)
    const lever = page.locator('.setting').filter({ has: page.locator('h2', { hasText: /^dry mass$/ }) })
    expect(await inSight(lever)).toBe(true)
  })

  test('it is told what a button has done, and all that is told has room', async () => {
    const { page } = await apart(PHONE)
    await page.goto(here().address)
    await answered(page)
    await page.locator('.more').tap()
    await page.locator('nav button', { hasText: 'Link' }).tap()
    await expect.poll(() => page.locator('.kept').textContent()).toMatch(/^(link copied|the link stands)/)
    expect(await inSight(page.locator('.kept'))).toBe(true)
    await page.locator('nav button', { hasText: 'Keys' }).tap()
    const keys = page.locator('dialog')
    await keys.waitFor()
    const { left, right } = await keys.evaluate(each => each.getBoundingClientRect().toJSON())
    for (const words of await keys.locator('dd').all()) {
      const box = (await words.boundingBox())!
      expect(box.x).toBeGreaterThan(left)
      expect(box.x + box.width).toBeLessThan(right)
    }
  })
})
