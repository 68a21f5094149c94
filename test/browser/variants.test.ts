import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { violations } from './axe.ts'
import { answered, told } from './browser.ts'
import { heron, text, write } from './hands.ts'

const VARIANTS = 'section[aria-labelledby="variants"]'

/** The table is a part of the page that comes with the first rows for it. */
async function tableCame(page: Page): Promise<void> {
  await page.locator(`${VARIANTS} table`).waitFor()
}

describe.runIf(found)('variants on the page', () => {
  const { fresh, apart, here } = atHand()

  test('a sheet without variants says how to write some, and writes them', async () => {
    const { page, complaints } = await fresh()
    expect(await page.textContent(VARIANTS)).toContain('each dry mass over 165 kg, 198 kg')
    await page.click(`${VARIANTS} >> text=Write that`)
    await answered(page)
    expect(await text(page)).toBe(`${heron}\nvariants\n  each dry mass over 165 kg, 198 kg\n`)
    await tableCame(page)
    expect(await page.locator(`${VARIANTS} tbody tr`).count()).toBe(2)
    await page.click('text=Undo')
    await answered(page)
    expect(await page.locator(`${VARIANTS} table`).count()).toBe(0)
    expect(complaints).toEqual([])
  })

  test('variants become a table with a picture of the whole, and follow the text', async () => {
    const { page, complaints } = await fresh()
    const block = 'variants\n  each dry mass over 160 kg, 165 kg, 170 kg\n  each specific impulse over 180 s, 242 s\n'
    await write(page, `${heron}\n${block}`)
    await answered(page)
    await tableCame(page)
    const rows = page.locator(`${VARIANTS} tbody tr`)
    expect(await rows.count()).toBe(6)
    // The sheet itself is the variant with its own dry mass and impulse.
    expect((await rows.nth(3).locator('th, td').allTextContents()).slice(0, 6)).toEqual([
      '4',
      '165',
      '242',
      'every target met',
      '92',
      '61',
    ])
    const { svg, label } = await page.locator(`${VARIANTS} svg`).evaluate(found => ({
      svg: found.textContent,
      label: found.getAttribute('aria-label'),
    }))
    for (const words of ['specific impulse, s', 'dry mass, kg', '160', '242', 'every target met'])
      expect(svg).toContain(words)
    expect(label).toMatch(/^Picture of 6 variants by dry mass and specific impulse: \d meet every target/)
    const before = await rows.allTextContents()
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await rows.count()).toBe(6)
    expect(await rows.allTextContents()).not.toEqual(before)
    expect(await violations(page)).toEqual([])
    expect(complaints).toEqual([])
  })

  test('many variants wait to be asked for, are stopped by a button, and given up when the sheet changes', async () => {
    const { page, complaints } = await fresh()
    const block = 'variants\n  each dry mass from 100 kg to 200 kg in steps of 0.1 kg\n'
    await write(page, `${heron}\n${block}`)
    await answered(page)
    expect(await page.textContent(VARIANTS)).toMatch(/1,001\sof them: solved when you ask for it/)
    await page.click(`${VARIANTS} >> text=Solve them`)
    await page.waitForFunction(where => document.querySelectorAll(`${where} tbody tr`).length > 8, VARIANTS)
    expect(await page.textContent(`${VARIANTS} .hint`)).toMatch(/^\d+\sof 1,001\ssolved so far$/)
    await page.click(`${VARIANTS} >> text=Stop`)
    await answered(page)
    const so = await page.textContent(`${VARIANTS} .hint`)
    expect(so).toMatch(/^stopped: \d+\sof 1,001$/)
    await page.waitForTimeout(300)
    expect(await page.textContent(`${VARIANTS} .hint`)).toBe(so)
    await page.click(`${VARIANTS} >> text=Solve them`)
    await page.waitForFunction(where => document.querySelectorAll(`${where} tbody tr`).length > 8, VARIANTS)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(await page.textContent(`${VARIANTS} .hint`)).toContain('these are from before the change')
    expect(complaints).toEqual([])
  })

  test('a table wider than its place says so, is scrolled by keys, and keeps its first column in sight', async () => {
    const { page } = await apart({ viewport: { width: 390, height: 844 } })
    await page.goto(here().address)
    await told(page)
    await write(page, `${heron}\nvariants\n  each dry mass over 160 kg, 170 kg\n`)
    await answered(page)
    const table = page.getByRole('group', { name: 'table of variants, scrolls sideways' })
    await table.waitFor()
    expect(await page.textContent(VARIANTS)).toContain('wider than its place')
    await table.focus()
    const before = await table.locator('tbody th').first().boundingBox()
    await page.keyboard.press('ArrowRight')
    await page.waitForFunction(where => document.querySelector(`${where} .long`)!.scrollLeft > 20, VARIANTS)
    expect((await table.locator('tbody th').first().boundingBox())!.x).toBeCloseTo(before!.x, 0)
    expect(await violations(page)).toEqual([])
    await page.setViewportSize({ width: 1120, height: 900 })
    await page.getByRole('group', { name: 'table of variants', exact: true }).waitFor()
    expect(await page.textContent(VARIANTS)).not.toContain('wider than its place')
  })

  test('of three quantities that vary two are chosen for the picture', async () => {
    const { page } = await fresh()
    const block =
      'variants\n  each dry mass over 160 kg, 170 kg\n  each specific impulse over 230 s, 242 s\n  each drag coefficient over 0.3, 0.5\n'
    await write(page, `${heron}\n${block}`)
    await answered(page)
    await page.getByLabel('up', { exact: true }).selectOption('drag coefficient')
    await answered(page)
    const words = await page.locator(`${VARIANTS} svg`).getAttribute('aria-label')
    expect(words).toContain('8 variants by dry mass and drag coefficient')
    await page.getByLabel('across', { exact: true }).selectOption('drag coefficient')
    await answered(page)
    expect(await page.locator(`${VARIANTS} svg`).getAttribute('aria-label')).toContain(
      'by drag coefficient and dry mass',
    )
  })
})
