import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'
import { heron, write } from './hands.ts'

function focused(page: Page): Promise<string> {
  return page.evaluate(() => {
    const here = document.activeElement!
    return here.getAttribute('aria-label') ?? here.textContent ?? ''
  })
}

async function press(page: Page, selector: string): Promise<void> {
  await page.locator(selector).first().focus()
  await page.keyboard.press('Enter')
  await answered(page)
}

describe.runIf(found)('the focus of who goes by keys', () => {
  const { fresh } = atHand()

  test('is never lost with what had it', async () => {
    const { page, complaints } = await fresh()
    await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
    await answered(page)
    await press(page, '.mends button')
    await expect.poll(() => focused(page)).toBe('verdict')
    await press(page, '.fact:has([id="fact dry mass"]) button')
    await expect.poll(() => focused(page)).toBe('dry mass')
    await page.keyboard.press('ArrowRight')
    await answered(page)
    expect(await page.locator('.setting', { hasText: 'dry mass' }).locator('button').textContent()).toContain('Let go')
    await press(page, '.figures button')
    await page.waitForSelector('.working')
    await press(page, '.working button')
    await expect.poll(() => focused(page)).toMatch(/the working of propellant mass$/)
    await press(page, '.firstrun button')
    await expect.poll(() => focused(page)).toBe('verdict')
    await press(page, 'nav button:has-text("Drafts")')
    await press(page, '.drafts button:has-text("Drop it")')
    await expect.poll(() => focused(page)).toBe('Drafts')
    await press(page, 'section[aria-labelledby="drafts"] button:has-text("Take it back")')
    await expect.poll(() => focused(page)).toBe('Drafts')
    expect(await page.locator('.drafts input').count()).toBe(1)
    expect(complaints).toEqual([])
  })

  test('a ruler tells nothing from before of the setting it stands at', async () => {
    const { page } = await fresh()
    await answered(page)
    const pointer = page.locator('.setting:nth-child(2) .pointer')
    const said = await pointer.evaluate(each => {
      const all: string[] = []
      Object.assign(globalThis, { all })
      new MutationObserver(() => all.push(each.getAttribute('aria-valuetext')!)).observe(each, {
        attributes: true,
        attributeFilter: ['aria-valuetext'],
      })
      return each.getAttribute('aria-valuetext')
    })
    expect(said).toMatch(/^throttle cap 61 %, held/)
    await page.fill('[id="fact dry mass"]', '150 kg')
    await page.keyboard.press('Enter')
    await answered(page)
    const all = await page.evaluate(() => (globalThis as unknown as { all: string[] }).all)
    expect(all.length).toBeGreaterThan(1)
    expect(all[0]).toMatch(/^throttle cap \d+ %$/)
    expect(all.at(-1)).toMatch(/^throttle cap \d+ %, ./)
  })

  test('an empty sheet can be begun from the Heron', async () => {
    const { page } = await fresh()
    await write(page, '')
    await answered(page)
    expect(await page.locator('.firstrun').count()).toBe(0)
    await press(page, 'button:has-text("start from the Heron")')
    await page.waitForSelector('.target')
    expect(await page.textContent('h1')).toContain('Heron')
    await expect.poll(() => focused(page)).toBe('The sheet')
  })
})
