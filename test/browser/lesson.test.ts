import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { heron, text, write } from './hands.ts'

/** Words as they are read, with plain blanks. */
function plain(words: string | null): string {
  return (words ?? '').replace(/\s+/g, ' ')
}

describe.runIf(found)('a first lesson', () => {
  const { fresh } = atHand()

  test('a conflict tells of the lever that a hand has set, and lets go of it', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    const hint = page.locator('section[aria-labelledby="trademap"] .hint').first()
    const before = await hint.textContent()
    await page.locator('.setting:nth-child(2) .pointer').focus()
    await page.keyboard.press('End')
    await answered(page)
    const conflict = page.locator('.conflict')
    expect(plain(await conflict.textContent())).toContain('This is with throttle cap pinned at 100 %.')
    // The map shows all settings of its levers: the ground that the pin keeps clear of is there as before.
    expect(await hint.textContent()).toBe(before)
    await conflict.locator('button', { hasText: 'Let go of throttle cap' }).click()
    await answered(page)
    expect(await conflict.count()).toBe(0)
    expect(await page.locator('.setting:nth-child(2) button').textContent()).toContain('Pin')
    expect(complaints).toEqual([])
  })

  test('a hand that stood in the way is no conflict once it has let go', async () => {
    const { page } = await fresh()
    await answered(page)
    const box = (await page.locator('.setting:nth-child(1) .pointer .tab').boundingBox())!
    const rule = (await page.locator('.setting:nth-child(1) .ruler').boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(rule.x + rule.width * 0.2, box.y + box.height / 2, { steps: 6 })
    await expect.poll(() => page.locator('.verdict .sentence').textContent()).toMatch(/^At these settings max q/)
    await page.evaluate(() => {
      const seen: string[] = []
      Object.assign(globalThis, { seen })
      new MutationObserver(() => {
        for (const each of document.querySelectorAll('.conflict, .held.short')) seen.push(each.textContent!)
      }).observe(document.body, { childList: true, subtree: true, characterData: true })
    })
    await page.mouse.up()
    await answered(page)
    expect(await page.locator('.verdict .sentence').textContent()).toMatch(/^Solved/)
    expect(await page.evaluate(() => (globalThis as unknown as { seen: string[] }).seen)).toEqual([])
  })

  test('in a conflict the targets lead to what would mend it', async () => {
    const { page } = await fresh()
    await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
    await answered(page)
    await page.locator('section[aria-labelledby="targets"] button', { hasText: 'What would mend it' }).click()
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('conflict')
    expect(plain(await page.locator('section[aria-labelledby="trademap"] .hint').first().textContent())).toContain(
      'no place lies clear of all lines',
    )
    expect(plain(await page.locator('.conflict').textContent())).not.toContain('pinned')
  })

  test('a conflict that comes above moves nothing that is worked on below', async () => {
    const { page } = await fresh()
    await answered(page)
    await page.setViewportSize({ width: 390, height: 844 })
    await answered(page)
    const tab = page.locator('[data-limit="liftoff ratio low"]')
    await tab.focus()
    await tab.evaluate(each => scrollBy(0, each.getBoundingClientRect().top - 500))
    const place = async (): Promise<number> => (await tab.locator('.tab').boundingBox())!.y
    const before = await place()
    for (const [key, times, conflicts] of [
      ['Shift+ArrowRight', 12, 1],
      ['Shift+ArrowLeft', 12, 0],
    ] as const) {
      for (let k = 0; k < times; k++) await page.keyboard.press(key)
      await answered(page)
      expect(await page.locator('.conflict').count()).toBe(conflicts)
      await expect.poll(async () => Math.abs((await place()) - before)).toBeLessThan(30)
    }
  })

  test('a lever is made a fact where a fact is made a lever, at its setting, and is held no more', async () => {
    const { page, complaints } = await fresh()
    await told(page)
    await page.locator('.setting:nth-child(2) .pointer').focus()
    await page.keyboard.press('ArrowLeft')
    await told(page)
    await page.locator('.fact', { hasText: 'throttle cap' }).locator('button').click()
    await told(page)
    expect(await text(page)).toContain('fact throttle cap = 60 %   # the valve is pinned before ignition')
    expect(await page.locator('.setting h2').allTextContents()).toEqual(['fuel fraction', 'to load'])
    await page.locator('.fact', { hasText: 'throttle cap' }).locator('button').click()
    await told(page)
    // It has its own range again.
    expect(await text(page)).toBe(`${heron.trimEnd()}\n`)
    expect(await page.locator('.setting:nth-child(2) button').textContent()).toContain('Pin')
    // One press is one step back.
    for (let k = 0; k < 2; k++) {
      await page.locator('nav button', { hasText: 'Undo' }).click()
      await told(page)
    }
    expect(await text(page)).toBe(`${heron.trimEnd()}\n`)
    expect(complaints).toEqual([])
  })

  test('prompts are for the sheet that they are about', async () => {
    const { page } = await fresh()
    expect(await page.locator('.firstrun').count()).toBe(1)
    await write(page, readFileSync('sheets/examples/two-stages.loft', 'utf8'))
    await told(page)
    expect(await page.locator('.target').count()).toBeGreaterThan(0)
    expect(await page.locator('.firstrun').count()).toBe(0)
  })

  test('what to load, and to take out, are told in one unit', async () => {
    const { page } = await fresh()
    const units = page.locator('nav button', { hasText: /units|Units/ })
    await units.click()
    await units.click()
    await told(page)
    const load = plain(await page.locator('.settings .setting', { hasText: 'to load' }).textContent())
    // 276, 300 and 24 kg in pounds of 0.45359237 kg: the international pound of 1959.
    expect(load).toMatch(/608\.5 lb.*Full is 661\.4 lb: take out 52\.91 lb\./)
  })

  test('drafts are compared in a table whose first column stays in sight on a narrow page', async () => {
    const { page } = await fresh()
    await told(page)
    await page.locator('nav button', { hasText: 'Drafts' }).click()
    const keep = page.locator('button', { hasText: 'Keep this one' })
    await keep.click()
    await page.locator('.setting:nth-child(1) .pointer').focus()
    await page.keyboard.press('Home')
    await told(page)
    await keep.click()
    await page.locator('button', { hasText: 'Compare' }).click()
    const table = page.getByRole('group', { name: /^drafts compared/ })
    await table.waitFor()
    await page.setViewportSize({ width: 390, height: 844 })
    await expect.poll(() => table.getAttribute('aria-label')).toBe('drafts compared, scrolls sideways')
    await table.evaluate(each => each.scrollTo(120, 0))
    const [first, box] = [await table.locator('tbody th').first().boundingBox(), await table.boundingBox()]
    expect(Math.abs(first!.x - box!.x)).toBeLessThan(2)
    // Without drafts there is nothing to compare.
    for (let k = 0; k < 2; k++) await page.locator('button', { hasText: 'Drop it' }).first().click()
    expect(await table.count()).toBe(0)
  })
})
