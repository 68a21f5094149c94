import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { mapPicture } from '../../sheets/picture/map-picture.ts'
import { THEMES } from '../../sheets/picture/theme.ts'
import { ownFolder } from '../support/folders.ts'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { drag, expectLarge, heron, text, write } from './hands.ts'

describe.runIf(found)('gestures on the page', () => {
  const { fresh } = atHand()

  test('a first visitor meets the Heron solved, with four things to try', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    expect(await page.textContent('.sentence')).toContain('Solved: every target is met.')
    expect(await page.locator('.firstrun li').count()).toBe(4)
    expect(await page.locator('.page > main > section > .target').count()).toBe(5)
    // The trade map with its detail, and the flight.
    expect(await page.locator('main .drawing svg').count()).toBe(3)
    expect(await page.getByLabel(/^Detail A: the ground by the solution/).count()).toBe(1)
    await page.click('.firstrun button')
    expect(await page.locator('.firstrun').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  test('a limit that is dragged is written into the text in the smallest way, is one undo, and moves the settings', async () => {
    const { page, complaints } = await fresh()
    await drag(page, '[data-limit="peak g high"]', -60, 0)
    await told(page)
    const [before, after] = [heron, await text(page)]
    const line = (all: string): string[] => all.split('\n').filter(each => each.includes('peak g'))
    expect(after.split('\n').filter(each => !each.includes('peak g'))).toEqual(
      before.split('\n').filter(each => !each.includes('peak g')),
    )
    const limit = Number(/at most\s+([\d.]+) g0 {7}# the camera mount/.exec(line(after)[0]!)![1])
    expect(limit).toBeGreaterThan(4)
    expect(limit).toBeLessThan(5.9)
    await expectLarge(page, ['92 %', '61 %'], false)
    await page.click('text=Undo')
    await told(page)
    expect(await text(page)).toBe(before)
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    await page.click('text=Redo')
    await told(page)
    expect(await text(page)).toBe(after)
    expect(complaints).toEqual([])
  })

  test('Escape puts a limit back, arrows move it a step, Enter types it', async () => {
    const { page } = await fresh()
    const tab = page.locator('[data-limit="max q high"]')
    await tab.focus()
    await page.keyboard.press('ArrowLeft')
    await told(page)
    expect(await text(page)).toMatch(/max q +at most +69 kPa/)
    await page.keyboard.press('Shift+ArrowRight')
    await told(page)
    expect(await text(page)).toMatch(/max q +at most +79 kPa/)
    await page.keyboard.press('Enter')
    await page.fill('.typing input', '72.5 kPa')
    await page.keyboard.press('Enter')
    await told(page)
    expect(await text(page)).toMatch(/max q +at most +72.5 kPa/)
    // Where it stands is asked once nothing on the page moves any more.
    await answered(page)
    await tab.scrollIntoViewIfNeeded()
    const box = (await tab.locator('.tab').boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x - 80, box.y, { steps: 4 })
    // The text, out of sight, waits for the hand to be still; the tab does not.
    await expect.poll(() => tab.getAttribute('aria-valuetext')).not.toMatch(/72.5/)
    expect(await text(page)).toMatch(/72.5 kPa/)
    await page.keyboard.press('Escape')
    await page.mouse.up()
    await told(page)
    expect(await text(page)).toMatch(/max q +at most +72.5 kPa/)
  })

  test('a lever that is dragged is pinned where it is let go, and let go again by its button', async () => {
    const { page } = await fresh()
    await drag(page, '.page > main > .settings > .setting:nth-child(1) .pointer', -40, 0)
    await told(page)
    const first = page.locator('.page > main > .settings > .setting:nth-child(1)')
    expect(await first.locator('.held').textContent()).toBe('pinned')
    expect(await first.locator('.large').textContent()).not.toContain('92')
    expect(await text(page)).toBe(heron)
    await first.locator('button').click()
    await told(page)
    await expectLarge(page, ['92 %', '61 %'])
    await first.locator('.pointer').focus()
    await page.keyboard.press('p')
    await told(page)
    expect(await first.locator('.held').textContent()).toBe('pinned')
  })

  test('a key that is held on a ruler goes on from where it has come, answered by then or not', async () => {
    const { page } = await fresh()
    const first = page.locator('.page > main > .settings > .setting:nth-child(1)')
    await first.locator('.pointer').evaluate(pointer => {
      for (let k = 0; k < 5; k++)
        pointer.dispatchEvent(
          new KeyboardEvent('keydown', { key: 'ArrowLeft', repeat: k > 0, bubbles: true, cancelable: true }),
        )
    })
    await told(page)
    expect(await first.locator('.large').textContent()).toContain('87')
    expect(await first.locator('.held').textContent()).toBe('pinned')
  })

  test('the mark of the trade map holds both levers while it is dragged; let go, and the sheet is solved again', async () => {
    const { page } = await fresh()
    await answered(page)
    const mark = page.locator('.mapmark')
    await mark.scrollIntoViewIfNeeded()
    const box = (await mark.locator('.lozenge').boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x - 120, box.y - 40, { steps: 6 })
    await page.waitForFunction(() => !document.querySelector('.large')!.textContent!.includes('92'))
    // Places on the way are answered as well, and met there: the hand stays at the last one.
    const verdict = (): Promise<string | null> => page.textContent('.page > main > .verdict')
    await expect.poll(verdict).toMatch(/At these settings .* (is|are) short/)
    expect(await page.locator('.conflict').count()).toBe(0)
    await page.mouse.up()
    await told(page)
    await expectLarge(page, ['92 %', '61 %'])
    await mark.focus()
    await page.keyboard.press('ArrowLeft')
    await page.keyboard.press('Enter')
    await told(page)
    await expectLarge(page, ['91 %', '61 %'], true)
  })

  test('the map that is saved is the one that the command writes, its detail A in it', async () => {
    const { page } = await fresh()
    await answered(page)
    for (const [theme, colorScheme] of [
      ['paper', 'light'],
      ['slate', 'dark'],
    ] as const) {
      await page.emulateMedia({ colorScheme })
      // Two are saved, the second a PNG.
      const saved = page.waitForEvent('download', download => download.suggestedFilename().endsWith('.svg'))
      await page.click('section[aria-labelledby="trademap"] >> text=Save picture')
      const file = join(ownFolder('saved'), 'map.svg')
      await (await saved).saveAs(file)
      const svg = readFileSync(file, 'utf8')
      expect(svg).toContain('the ground by the solution, enlarged')
      const sheet = openSheet(heron)
      const [map, answer] = [sheet.map(), sheet.solve()]
      expect(svg).toBe(mapPicture({ map, answer, theme: THEMES[theme], source: `heron.loft: ${map.sheet}` }).svg)
    }
  })

  test('a conflict comes before the settings, and a mend that is chosen solves it, a draft kept first', async () => {
    const { page, complaints } = await fresh()
    await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
    await answered(page)
    expect(await page.locator('main > section:not(.closed)').first().getAttribute('class')).toContain('conflict')
    expect(await page.locator('.these li').allTextContents()).toEqual([
      'liftoff ratio at least 2',
      'peak g at most 5\u00a0g0',
      'apoapsis within 100\u00a0km to 110\u00a0km',
    ])
    expect(await page.locator('.mends button').count()).toBe(3)
    expect(await page.textContent('.settings')).toContain('closest compromise, not a setting to fly')
    // Nothing stands in the strip of the verdict, and it takes no room but its line.
    expect((await page.locator('.page > main > .verdict').boundingBox())!.height).toBeLessThan(2)
    await page.locator('.page > main > .settings .row button').first().click()
    await told(page)
    expect(await page.textContent('.page > main > .settings .setting:nth-child(1) .held')).toBe(
      'pinned; not a setting to fly',
    )
    await page.click('text=Undo')
    await told(page)
    await page.locator('.mends button').first().click()
    await told(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(await page.locator('nav >> text=Drafts, 1').count()).toBe(1)
    await expect.poll(() => page.textContent('[role="status"] >> nth=-1')).toContain('Solved')
    expect(complaints).toEqual([])
  })

  test('a fact is written over in place, and made a lever by one gesture', async () => {
    const { page } = await fresh()
    await page.fill('[id="fact dry mass"]', '170 kg')
    await page.keyboard.press('Enter')
    await told(page)
    expect(await text(page)).toContain('fact  dry mass          = 170 kg         # airframe')
    await page.locator('.fact', { hasText: 'dry mass' }).locator('button').click()
    await told(page)
    expect(await text(page)).toContain('lever dry mass from 136 kg to 204 kg         # airframe')
    expect(await page.locator('.settings .pointer').count()).toBe(3)
  })

  test('a number that is chosen tells its working', async () => {
    const { page } = await fresh()
    await page.locator('.figures button', { hasText: 'the working of liftoff ratio' }).click()
    await page.waitForSelector('.working pre')
    const working = (await page.textContent('.working pre'))!
    expect(working).toContain('thrust on the pad')
    expect(working).toContain('2.17')
  })

  test('a key that is held is written once an answer, as far as it has come', async () => {
    const { page } = await fresh()
    const presses = 40
    const pressed = await page.evaluate(many => {
      const tab = document.querySelector('[data-limit="max q high"]')!
      let writes = 0
      // Each answer that is drawn moves the tab.
      new MutationObserver(() => writes++).observe(tab, { attributes: true, attributeFilter: ['aria-label'] })
      Object.assign(globalThis, { writes: () => writes })
      for (let k = 0; k < many; k++)
        tab.dispatchEvent(
          new KeyboardEvent('keydown', { key: 'ArrowRight', repeat: k > 0, bubbles: true, cancelable: true }),
        )
      return many
    }, presses)
    await told(page)
    expect(pressed).toBe(presses)
    expect(await text(page)).toMatch(/max q +at most +110 kPa/)
    expect(await page.evaluate(() => (globalThis as unknown as { writes: () => number }).writes())).toBeLessThan(6)
    // Those that come within a second are one step back.
    for (let k = 0; k < 5 && (await text(page)) !== heron; k++) {
      await page.click('text=Undo')
      await told(page)
    }
    expect(await text(page)).toBe(heron)
  })

  test('a limit is written in its own place where it is taken before the last move is answered, or while a line needs mending', async () => {
    const { page } = await fresh()
    await answered(page)
    const line = async (): Promise<string> => (await text(page)).split('\n').find(each => each.includes('max q'))!
    // All within one task of the page: no answer can come in between.
    await page.evaluate(() => {
      const tab = document.querySelector<SVGGElement>('[data-limit="max q high"]')!
      const { x, y, width, height } = tab.querySelector('.tab')!.getBoundingClientRect()
      tab.setPointerCapture = () => {}
      tab.hasPointerCapture = () => true
      for (const [type, by] of [
        ['pointerdown', 0],
        ['pointermove', -33],
        ['pointerup', -33],
        ['pointerdown', -33],
        ['pointermove', -47],
        ['pointerup', -47],
      ] as const)
        tab.dispatchEvent(
          new PointerEvent(type, {
            clientX: x + width / 2 + by,
            clientY: y + height / 2,
            pointerId: 1,
            bubbles: true,
            cancelable: true,
          }),
        )
    })
    await told(page)
    expect(await line()).toMatch(/^must {3}max q +at most {2}[\d.]+ kPa$/)
    await write(page, heron.replace('fact  dry mass', 'fact  one more = = line\nfact  dry mass'))
    await told(page)
    await drag(page, '[data-limit="max q high"]', -40, 0)
    await page.locator('[data-limit="apoapsis high"]').focus()
    await page.keyboard.press('ArrowRight')
    await page.fill('[id="fact drag coefficient"]', '0.43')
    await page.keyboard.press('Enter')
    await told(page)
    expect(await line()).not.toContain('70 kPa')
    const plain = (await text(page))
      .replace('fact  one more = = line\n', '')
      .replace(/(max q +at most +)[\d.]+ kPa/, '$170 kPa')
      .replace(/(100 km to )\d+ km/, '$1110 km')
      .replace('0.43', '0.42')
    expect(plain.trimEnd()).toBe(heron.trimEnd())
  })

  test('what is typed for a fact whose place was written over meanwhile is not written elsewhere, and that is said', async () => {
    const { page, complaints } = await fresh()
    const broken = heron.replace('= 165 kg', '= 165 166 kg')
    await write(page, broken)
    await page.waitForSelector('text=needs mending')
    await page.fill('[id="fact dry mass"]', '170 kg')
    await page.keyboard.press('Enter')
    await page.waitForSelector('.verdict .hint >> text=where dry mass stood: what was typed is not written there.')
    expect(await text(page)).toBe(broken)
    expect(complaints).toEqual([])
  })

  test('the fine map comes though a hand took the mark while it was worked out', async () => {
    const { page } = await fresh()
    await answered(page)
    // As soon as the first map of the changed sheet is there the hand is, and lets go at once.
    await page.evaluate(() => {
      const root = document.documentElement
      new MutationObserver((_, watch) => {
        if (root.dataset.state !== 'answered') return
        watch.disconnect()
        const mark = document.querySelector('.mapmark')!
        const press = (key: string) => mark.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }))
        for (const wait of [40, 80, 120, 160, 200])
          setTimeout(() => {
            press('ArrowLeft')
            setTimeout(() => press('Escape'), 20)
          }, wait)
      }).observe(root, { attributes: true, attributeFilter: ['data-state'] })
    })
    await write(page, heron.replace('165 kg', '166 kg'))
    await told(page)
    await page.waitForTimeout(500)
    await answered(page)
    expect(await page.getByLabel(/^Detail A: the ground by the solution/).count()).toBe(1)
  })

  test('a ruler stays in its place while a hand moves it, though there is nothing to load by then', async () => {
    const { page } = await fresh()
    await answered(page)
    const ruler = page.locator('.page > main > .settings > .setting:nth-child(2) .ruler')
    const pointer = page.locator('.page > main > .settings > .setting:nth-child(2) .pointer .tab')
    const before = (await ruler.boundingBox())!
    const { x, y, width, height } = (await pointer.boundingBox())!
    await page.mouse.move(x + width / 2, y + height / 2)
    await page.mouse.down()
    await page.mouse.move(x + width / 2 - 60, y + height / 2, { steps: 4 })
    await page.waitForSelector('.page > main > .verdict >> text=/At these settings .* short/')
    expect(await ruler.boundingBox()).toEqual(before)
    expect(await page.textContent('.page > main > .settings > .setting:nth-child(3)')).toContain('none')
    await page.mouse.up()
  })
})
