import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { heron, text, write } from './hands.ts'

/** Writes into the field of a fact and leaves it by a key. */
async function fill(page: Page, fact: string, value: string, key = 'Enter'): Promise<void> {
  await page.fill(`[id="fact ${fact}"]`, value)
  await page.keyboard.press(key)
  await told(page)
}

async function line(page: Page, name: string): Promise<string> {
  return (await text(page)).split('\n').find(each => each.includes(name))!
}

describe.runIf(found)('what is typed into a fact or a limit', () => {
  const { fresh, apart, here } = atHand()

  test('nonsense is said with its line, and mended where it was written', async () => {
    const { page, complaints } = await fresh()
    const field = page.locator('[id="fact dry mass"]')
    for (const nonsense of ['abc', '165 kg +', '165 m', 'x165 kg']) {
      await fill(page, 'dry mass', nonsense)
      expect(await line(page, 'dry mass')).toBe(
        `fact  dry mass          = ${nonsense}         # airframe, recovery, camera payload`,
      )
      await expect.poll(() => page.textContent('[role="status"].unseen >> nth=-1')).toMatch(/^Line 3 needs mending: ./)
      expect(await field.getAttribute('aria-invalid')).toBe('true')
      // To leave the field says nothing new.
      await page.keyboard.press('Tab')
      await fill(page, 'dry mass', '165 kg', nonsense === 'abc' ? 'Enter' : 'Tab')
      expect(await text(page)).toBe(heron)
      expect(await field.getAttribute('aria-invalid')).toBe('false')
      expect(await page.locator('.verdict .hint', { hasText: 'meanwhile' }).count()).toBe(0)
    }
    expect(complaints).toEqual([])
  })

  test('only the field with the nonsense in it is marked', async () => {
    const { page } = await fresh()
    const marked = (): Promise<(string | null)[]> =>
      page.locator('.fact input[aria-invalid="true"]').evaluateAll(all => all.map(each => each.id))
    await fill(page, 'dry mass', 'abc')
    await fill(page, 'drag coefficient', '0.5')
    await expect.poll(marked).toEqual(['fact dry mass'])
    await fill(page, 'drag coefficient', 'x')
    await expect.poll(marked).toEqual(['fact dry mass', 'fact drag coefficient'])
    await fill(page, 'dry mass', '165 kg')
    await expect.poll(marked).toEqual(['fact drag coefficient'])
  })

  test('a field shows what the text says once nonsense is taken back, and keeps its value where it is emptied', async () => {
    const { page } = await fresh()
    await fill(page, 'dry mass', 'abc')
    await page.click('text=Undo')
    await told(page)
    expect(await page.inputValue('[id="fact dry mass"]')).toBe('165 kg')
    await fill(page, 'dry mass', '', 'Tab')
    expect(await page.inputValue('[id="fact dry mass"]')).toBe('165 kg')
    await fill(page, 'dry mass', '165 kg # too heavy')
    expect(await text(page)).toBe(heron)
  })

  test('the focus stays in the field of a fact, and goes back to the tab of a limit', async () => {
    const { page } = await fresh()
    await fill(page, 'dry mass', '364 lb')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('fact dry mass')
    for (const [key, limit] of [
      ['Enter', '5.5 g0'],
      ['Escape', '5.5 g0'],
    ] as const) {
      const tab = page.locator('[data-limit="peak g high"]')
      await tab.focus()
      await page.keyboard.press('Enter')
      await page.fill('.typing input', key === 'Enter' ? limit : '4 g0')
      await page.keyboard.press(key)
      await told(page)
      expect(await page.locator('.typing').count()).toBe(0)
      expect(await tab.evaluate(each => each === document.activeElement)).toBe(true)
      expect(await line(page, 'peak g')).toBe(`must   peak g        at most  ${limit}       # the camera mount`)
    }
  })

  test('a limit with nonsense in it is mended there', async () => {
    const { page } = await fresh()
    for (const words of ['much', '6 g0']) {
      await page.locator('[data-limit="peak g high"]').focus()
      await page.keyboard.press('Enter')
      await page.fill('.typing input', words)
      await page.keyboard.press('Enter')
      await told(page)
      expect(await line(page, 'peak g')).toContain(`at most  ${words}       #`)
    }
    expect(await text(page)).toBe(heron)
  })

  test('Enter on a lever types its setting: one step back, in any unit of its kind, on its steps; what cannot be is mended there', async () => {
    const { page, complaints } = await fresh()
    const setting = page.locator('.page > main > .settings > .setting:nth-child(1)')
    const pointer = setting.locator('.pointer')
    const type = async (words: string): Promise<void> => {
      await pointer.focus()
      await page.keyboard.press('Enter')
      await page.fill('.typing input', words)
      await page.keyboard.press('Enter')
      await told(page)
    }
    for (const [words, large] of [
      ['90', '90 %'],
      ['0.88 kg/kg', '88 %'],
      ['91.4 %', '91 %'],
    ] as const) {
      await type(words)
      expect((await setting.locator('.large').textContent())!.replace(/\s+/g, ' ')).toBe(large)
      expect(await setting.locator('.held').textContent()).toBe('pinned')
      expect(await pointer.evaluate(each => each === document.activeElement)).toBe(true)
    }
    expect(await page.textContent('.verdict .hint')).toMatch(/moves in steps: it is at the one nearest to 91.4\s%/)
    await page.click('text=Undo')
    await told(page)
    expect(await setting.locator('.large').textContent()).toContain('88')
    for (const [words, why] of [
      ['120', /its range is 30\s% to 100\s%/],
      ['3 kg', /"fuel fraction" is a plain number; "3\skg" is /],
      ['much', /cannot be set to "much"/],
    ] as const) {
      await type(words)
      expect(await page.textContent('.typing .refused')).toMatch(why)
      expect(await page.textContent('[role="status"].unseen')).toMatch(/"fuel fraction"/)
      expect(await page.getAttribute('.typing input', 'aria-invalid')).toBe('true')
      await page.keyboard.press('Escape')
      expect(await page.locator('.typing').count()).toBe(0)
      expect(await setting.locator('.large').textContent()).toContain('88')
      expect(await pointer.evaluate(each => each === document.activeElement)).toBe(true)
    }
    expect(await text(page)).toBe(heron)
    expect(complaints).toEqual([])
  })

  test("the reader's own signs are written in plain form", async () => {
    const { page } = await apart({ locale: 'de-DE' })
    await page.goto(here().address)
    await told(page)
    await fill(page, 'dry mass', '170,5 kg')
    expect(await line(page, 'dry mass')).toContain('= 170.5 kg  ')
    expect(await page.inputValue('[id="fact dry mass"]')).toBe('170.5 kg')
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('Enter')
    await page.fill('.typing input', '5,5 g0')
    await page.keyboard.press('Enter')
    await told(page)
    expect(await line(page, 'peak g')).toContain('at most  5.5 g0 ')
  })

  test('a hand cannot turn a band upside down', async () => {
    const { page } = await fresh()
    await answered(page)
    const tab = page.locator('[data-limit="apoapsis low"] .tab')
    await tab.scrollIntoViewIfNeeded()
    const { x, y } = (await tab.boundingBox())!
    await page.mouse.move(x + 8, y + 8)
    await page.mouse.down()
    await page.mouse.move(x + 600, y + 8, { steps: 6 })
    await page.mouse.up()
    await answered(page)
    const [, low] = /within +([\d.]+) km to 110 km/.exec(await line(page, 'apoapsis'))!
    expect(Number(low)).toBeGreaterThan(105)
    expect(Number(low)).toBeLessThan(110)
    expect(await page.textContent('.verdict')).not.toContain('needs mending')
  })

  test('a sheet that was never solved says which line needs mending, and no more than that', async () => {
    const { page } = await fresh()
    await write(page, 'fact a =\nlever b from 1 to\n')
    await told(page)
    await page.click('text=Link')
    await page.waitForFunction(() => location.hash.startsWith('#sheet='))
    const { page: other, complaints } = await apart()
    await other.goto(page.url())
    await told(other)
    expect((await other.textContent('.page > main > .verdict'))?.trim()).toBe('Line 1 needs mending.')
    expect(await other.locator('.settings, .target, .firstrun').count()).toBe(0)
    expect(complaints).toEqual([])
  })
})
