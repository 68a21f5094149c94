import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { ownFolder } from '../support/folders.ts'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'
import { dropped, heron } from './hands.ts'

async function fill(page: Page, fact: string, value: string): Promise<void> {
  await page.fill(`[id="fact ${fact}"]`, value)
  await page.keyboard.press('Enter')
  await answered(page)
}

function figure(page: Page, name: string): Promise<string> {
  return page.evaluate(wanted => {
    const all = [...document.querySelectorAll('.figures > div')]
    const row = all.find(each => each.querySelector('dt')!.textContent === wanted)!
    return row.querySelector('button')!.firstChild!.textContent!
  }, name)
}

describe.runIf(found)('what was told of a sheet that has changed', () => {
  const { fresh, apart, here } = atHand()

  test('a working on show is told anew, and in pencil where it cannot be', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    await page.locator('.figures button', { hasText: 'the working of liftoff ratio' }).click()
    await page.waitForSelector('.working pre')
    const before = await figure(page, 'liftoff ratio')
    await fill(page, 'dry mass', '150 kg')
    const now = await figure(page, 'liftoff ratio')
    expect(now).not.toBe(before)
    expect(await page.textContent('.working pre')).toContain(now)
    expect(await page.textContent('.working h3')).toBe('The working of liftoff ratio')
    await fill(page, 'dry mass', 'abc')
    expect(await page.locator('.working.stale').count()).toBe(1)
    expect(await page.textContent('.working h3')).toBe('The working of liftoff ratio, from before the change')
    await fill(page, 'dry mass', '165 kg')
    expect(await page.locator('.working.stale').count()).toBe(0)
    expect(await page.textContent('.working pre')).toContain(before)

    // That of a target goes on with it, though its words are others by then.
    await page.locator('.target .plain', { hasText: 'peak g' }).click()
    await expect.poll(() => page.textContent('.working h3')).toContain('peak g')
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.working pre')).toContain('5.9\u00a0g0')
    expect(await page.locator('.working.stale').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  test('another sheet that needs mending is shown with nothing of the last', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    await dropped(page, [['crane.loft', heron.replace('Heron 3', 'Crane').replace('must   max q', 'must   max qq')]])
    await page.waitForSelector('.verdict >> text=Line 20 needs mending')
    await answered(page)
    expect(await page.textContent('main > h1')).not.toContain('Heron')
    expect(await page.locator('.settings, .target, #trademap, #flight').count()).toBe(0)
    // Taken back, all is there again.
    await page.click('nav >> text=Undo')
    await page.waitForSelector('#trademap')
    await answered(page)
    expect(await page.textContent('main > h1')).toContain('Heron')
    expect(await page.locator('.page > main > section > .target').count()).toBe(5)
    expect(complaints).toEqual([])
  })

  test('drafts that were compared are in pencil once the sheet is another', async () => {
    const { page } = await fresh()
    await answered(page)
    await page.click('nav >> text=Drafts')
    await page.click('text=Keep this one')
    await page.click('text=Compare')
    await page.waitForSelector('[aria-label="drafts compared"] table')
    const old = page.locator('.stale:has(> [aria-label="drafts compared"])')
    expect(await old.count()).toBe(0)
    await fill(page, 'dry mass', '150 kg')
    expect(await old.textContent()).toContain('from before the change: compare again')
    await page.click('text=Compare')
    await answered(page)
    expect(await old.count()).toBe(0)
  })

  test("pictures and the flight card are written with the reader's own signs, and saved in plain ones", async () => {
    const { page, complaints } = await apart({ locale: 'de-DE' })
    await page.goto(here().address)
    await answered(page)
    const written = (section: string) =>
      page.locator(`section[aria-labelledby="${section}"] .drawing`).allTextContents()
    expect((await written('flight')).join()).toContain('59,28\u00a0kPa')
    expect((await written('flight')).join()).not.toContain('59.28')
    const card = await page.evaluate(() => document.querySelector('.card')!.shadowRoot!.textContent)
    expect(card).toContain('59,28\u00a0kPa')
    const saved = page.waitForEvent('download', download => download.suggestedFilename().endsWith('.svg'))
    await page.click('section[aria-labelledby="flight"] >> text=Save picture')
    const file = join(ownFolder('saved'), 'flight.svg')
    await (await saved).saveAs(file)
    expect(readFileSync(file, 'utf8')).toContain('59.28 kPa')
    expect(complaints).toEqual([])
  })
})
