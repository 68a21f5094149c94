import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { violations } from './axe.ts'
import { answered } from './browser.ts'
import { write } from './hands.ts'

describe.runIf(found)('flights on the page', () => {
  const { fresh } = atHand()

  test('of several flights the one that is chosen is drawn', async () => {
    const { page, complaints } = await fresh()
    await write(page, readFileSync('sheets/examples/two-sites.loft', 'utf8'))
    await answered(page)
    const chooser = page.getByLabel('which flight')
    const names = await chooser.locator('option').allTextContents()
    expect(names.length).toBeGreaterThan(1)
    const drawn = (): Promise<string | null> => page.locator('[aria-labelledby="flight"] svg').first().innerHTML()
    const before = await drawn()
    await chooser.focus()
    await page.keyboard.press('ArrowDown')
    await answered(page)
    expect(await chooser.inputValue()).toBe(names[1])
    expect(await drawn()).not.toBe(before)
    expect(await violations(page)).toEqual([])
    // The card, which is what is printed, is of that flight too.
    const card = (): Promise<string> =>
      page.locator('.card .kind').evaluate(kind => kind.getRootNode().textContent ?? '')
    expect(await card()).toContain(`flight card, ${names[1]}`)
    const second = await card()
    await page.locator('[data-limit]').first().focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await chooser.inputValue()).toBe(names[1])
    await chooser.selectOption(names[0]!)
    await answered(page)
    expect(await card()).toContain(`flight card, ${names[0]}`)
    expect(await card()).not.toBe(second)
    expect(complaints).toEqual([])
  })

  test('the flight card prints as one page, from the page itself', async () => {
    const { page } = await fresh()
    await page.waitForFunction(() => document.querySelector('.card')?.shadowRoot?.querySelector('main') != null)
    await page.emulateMedia({ media: 'print' })
    const pdf = await page.pdf({ preferCSSPageSize: true })
    // Each page of a PDF is an object of the type Page (ISO 32000-1, 7.7.3.3).
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1)
  })
})
