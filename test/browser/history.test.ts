import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { heron, pausesOn, text } from './hands.ts'

/** How late everything comes that a late worker says [ms]. */
const LATE = 900

/** Undoes everything, and says how many steps that took. */
async function stepsBack(page: Page): Promise<number> {
  const undo = page.locator('nav button', { hasText: 'Undo' })
  for (let steps = 0; steps < 30; steps++) {
    if ((await undo.getAttribute('aria-disabled')) === 'true') return steps
    await undo.click()
    await told(page)
  }
  return Number.POSITIVE_INFINITY
}

/** Presses of keys that are no farther apart are surely one gesture [ms]. */
const TOGETHER = 900

/** Presses a key on a handle so often, and says how many of them came so late that they are a gesture of their own. */
async function press(page: Page, handle: string, often: number): Promise<number> {
  await page.locator(handle).focus()
  const pauses = await pausesOn(page)
  for (let k = 0; k < often; k++) {
    await page.keyboard.press('ArrowLeft')
    await page.waitForTimeout(LATE / 3)
  }
  return pauses(TOGETHER)
}

describe.runIf(found)('the one history of gestures and typing', () => {
  const { apart, here } = atHand()

  async function late(): Promise<{ readonly page: Page; readonly complaints: readonly string[] }> {
    const { page, complaints } = await apart()
    await page.addInitScript(by => {
      const Real = Worker
      globalThis.Worker = class extends Real {
        override set onmessage(hear: ((event: MessageEvent) => void) | null) {
          super.onmessage = event => {
            if (document.documentElement.dataset.late) setTimeout(() => hear?.call(this, event), by)
            else hear?.call(this, event)
          }
        }
      }
    }, LATE)
    await page.goto(here().address)
    await answered(page)
    await page.evaluate(() => {
      document.documentElement.dataset.late = 'yes'
    })
    return { page, complaints }
  }

  async function pull(page: Page, by: readonly number[], rest: number): Promise<void> {
    const tab = page.locator('[data-limit="max q high"] .tab')
    await tab.scrollIntoViewIfNeeded()
    const { x, y } = (await tab.boundingBox())!
    await page.mouse.move(x + 8, y + 8)
    await page.mouse.down()
    for (const each of by) {
      await page.mouse.move(x + 8 + each, y + 8)
      await page.waitForTimeout(rest)
    }
    await page.mouse.up()
  }

  test('what was typed while an answer is late is kept under a hand that moves, and each is one step', async () => {
    const { page, complaints } = await late()
    await pull(page, [-10, -20], 20)
    // Left for the tab before the pull is answered: its place is not known yet.
    await page.fill('[id="fact drag coefficient"]', '0.43')
    await pull(page, [-20, -30, -40], 1.5 * LATE)
    await answered(page)
    const now = await text(page)
    expect(now).toContain('drag coefficient  = 0.43')
    expect(now).not.toMatch(/max q +at most +70 kPa/)
    expect(await stepsBack(page)).toBe(3)
    expect(await text(page)).toBe(heron)
    expect(complaints).toEqual([])
  })

  test('a key pressed again and again is one step back, on a limit and on a lever, however late the answers', async () => {
    const { page } = await late()
    const pressAll = async (): Promise<number> => {
      let late = 0
      for (const handle of ['[data-limit="max q high"]', '.setting:nth-child(1) .pointer'])
        late += await press(page, handle, 6)
      await answered(page)
      return late
    }
    // A busy machine may hold a press back for so long that it is a gesture of its own: then they are pressed once more.
    while ((await pressAll()) > 0) await stepsBack(page)
    expect(await text(page)).toMatch(/max q +at most +64 kPa/)
    expect(await page.textContent('.setting:nth-child(1) .held')).toBe('pinned')
    expect(await stepsBack(page)).toBe(2)
    expect(await text(page)).toBe(heron)
    expect(await page.textContent('.setting:nth-child(1) .held')).not.toBe('pinned')
  })

  test('a fact that becomes a lever with the focus in its field leaves no fault', async () => {
    const { page, complaints } = await late()
    await page.locator('.fact', { hasText: 'dry mass' }).locator('button').click()
    await page.fill('[id="fact dry mass"]', '170 kg')
    await answered(page)
    expect(await text(page)).toContain('lever dry mass from 132 kg to 198 kg')
    expect(complaints).toEqual([])
  })
})
