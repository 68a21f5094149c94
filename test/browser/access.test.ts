import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { violations } from './axe.ts'
import { answered } from './browser.ts'
import { heron, write } from './hands.ts'

describe.runIf(found)('the page for everyone', () => {
  const { fresh } = atHand()

  const SHEETS = [
    ['solved', heron],
    ['in conflict', heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis')],
    ['faulty', heron.replace('must   max q', 'must   max qq')],
  ] as const

  test.each(SHEETS)(
    'no accessibility rule is broken, whatever the width and the light: a sheet that is %s',
    async (_, sheet) => {
      const { page, complaints } = await fresh()
      if (sheet !== heron) await write(page, sheet)
      for (const viewport of [
        { width: 1440, height: 1000 },
        { width: 390, height: 844 },
      ]) {
        await page.setViewportSize(viewport)
        await page.waitForFunction(() => document.documentElement.scrollWidth <= window.innerWidth)
        for (const colorScheme of ['light', 'dark'] as const) {
          await page.emulateMedia({ colorScheme })
          await answered(page)
          expect(await violations(page), `${colorScheme}, ${viewport.width} px`).toEqual([])
        }
      }
      expect(complaints).toEqual([])
    },
  )

  test('where the system gives the colours the inks are those for its ground, whatever was chosen', async () => {
    const { page } = await fresh()
    const inks = (): Promise<string> =>
      page.evaluate(() =>
        ['--ink', '--ground']
          .map(ink => getComputedStyle(document.documentElement).getPropertyValue(ink).trim())
          .join(),
      )
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme, forcedColors: 'none' })
      const wanted = await inks()
      const other = page.locator('nav button', { hasText: colorScheme === 'light' ? 'Slate' : 'Paper' })
      await other.click()
      expect(await inks()).not.toBe(wanted)
      await page.emulateMedia({ colorScheme, forcedColors: 'active' })
      expect(await inks()).toBe(wanted)
      await page.emulateMedia({ colorScheme, forcedColors: 'none' })
      await page.evaluate(() => {
        document.documentElement.dataset.theme = 'system'
      })
    }
  })
})
