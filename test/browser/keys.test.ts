import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { heron, pausesOn, text, write } from './hands.ts'

const PEAK = '[data-limit="peak g high"]'
const MARK = '.mapmark'

async function press(page: Page, ...keys: readonly string[]): Promise<void> {
  for (const key of keys) {
    await page.keyboard.press(key)
    await told(page)
  }
}

/** What is heard of a slider. */
function heard(page: Page, slider: string): Promise<string> {
  return page.locator(slider).evaluate(each => each.getAttribute('aria-valuetext')!.replace(/\s+/g, ' '))
}

/** What has the focus, or "nothing". */
function focused(page: Page): Promise<string> {
  return page.evaluate(() => {
    const here = document.activeElement
    if (!here || here === document.body) return 'nothing'
    return here.getAttribute('aria-label') ?? here.id.concat(here.id === '' ? here.textContent : '')
  })
}

/** Whether what has the focus lies in the window. */
function inSight(page: Page): Promise<boolean> {
  return page.evaluate(() => {
    const { top, bottom } = document.activeElement!.getBoundingClientRect()
    return bottom > 0 && top < innerHeight
  })
}

/** Whether all of what has the focus lies in the window. */
function inWindow(page: Page): Promise<boolean> {
  return page.evaluate(() => {
    const { top, bottom } = document.activeElement!.getBoundingClientRect()
    return top >= 0 && bottom <= innerHeight
  })
}

/** Everything that the polite regions of the page say from now on. */
async function listen(page: Page): Promise<() => Promise<readonly string[]>> {
  await page.evaluate(() => {
    const said: string[] = []
    Object.assign(globalThis, { said })
    const before = new Map<Element, string>()
    const look = (): void => {
      for (const region of document.querySelectorAll('[role="status"]')) {
        const words = region.textContent!.trim()
        if (words !== '' && before.has(region) && before.get(region) !== words) said.push(words)
        before.set(region, words)
      }
    }
    look()
    new MutationObserver(look).observe(document.body, { childList: true, subtree: true, characterData: true })
  })
  return () => page.evaluate(() => (globalThis as unknown as { said: string[] }).said)
}

describe.runIf(found)('the page by keys alone', () => {
  const { fresh } = atHand()

  test('the ends of a limit are the ends of its scale, and Page Up goes ten steps as Shift does', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    const { least, most } = await page.locator(PEAK).evaluate(each => ({
      least: Number(each.getAttribute('aria-valuemin')),
      most: Number(each.getAttribute('aria-valuemax')),
    }))
    await page.locator(PEAK).focus()
    const limit = async (): Promise<number> => Number(/peak g +at most +([\d.]+) g0/.exec(await text(page))![1])
    const at = await page.evaluate(() => scrollY)
    for (const [key, wanted] of [
      ['Home', least],
      ['End', most],
    ] as const) {
      await press(page, key)
      expect(await limit()).toBeCloseTo(wanted, 1)
      await press(page, 'Control+z')
      expect(await text(page)).toBe(heron)
    }
    expect(await page.evaluate(() => scrollY)).toBe(at)
    await press(page, 'PageDown')
    const page10 = await limit()
    await press(page, 'Control+z', 'Shift+ArrowLeft')
    expect(await limit()).toBe(page10)
    expect(complaints).toEqual([])
  })

  test('what Ctrl, Alt or Cmd makes a key of the browser stays one', async () => {
    const { page } = await fresh()
    await answered(page)
    for (const handle of ['.setting:nth-child(1) .pointer', PEAK, MARK, 'svg.takes']) {
      const before = await heard(page, handle)
      // To print, to go back, to go to the ends of the page: none of them is kept from the browser.
      const kept = await page.locator(handle).evaluate(each =>
        [
          { key: 'p', ctrlKey: true },
          { key: 'p', metaKey: true },
          { key: 'ArrowLeft', altKey: true },
          { key: 'Home', ctrlKey: true },
          { key: 'End', metaKey: true },
        ].map(init => !each.dispatchEvent(new KeyboardEvent('keydown', { ...init, bubbles: true, cancelable: true }))),
      )
      expect(kept).toEqual([false, false, false, false, false])
      await told(page)
      expect(await heard(page, handle)).toBe(before)
    }
    expect(await text(page)).toBe(heron)
    expect(await page.locator('.pointer.pinned').count()).toBe(0)
  })

  test('the mark of the map says what is short there, pins both levers and lets both go', async () => {
    const { page, complaints } = await fresh()
    const solved = 'fuel fraction 92 %, throttle cap 61 %, every target met'
    expect(await heard(page, MARK)).toBe(solved)
    await page.locator(MARK).focus()
    await press(page, 'ArrowLeft')
    await expect.poll(() => heard(page, MARK)).toBe('fuel fraction 91 %, throttle cap 61 %, apoapsis short')
    await press(page, 'Home')
    await expect.poll(() => heard(page, MARK)).toMatch(/^fuel fraction 30 %, throttle cap 61 %, .*short$/)
    await press(page, 'Escape')
    await expect.poll(() => heard(page, MARK)).toBe(solved)
    await press(page, 'p')
    expect(await heard(page, MARK)).toBe('fuel fraction 92 % pinned, throttle cap 61 % pinned, every target met')
    await press(page, 'p')
    expect(await heard(page, MARK)).toBe(solved)
    await press(page, 'p', 'Escape')
    expect(await page.locator('.pointer.pinned').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  test('a working takes the focus where it is to be read, and Escape gives it back', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    for (const [asks, name] of [
      ['.target:has-text("peak g") .plain', 'peak g at most 6 g0'],
      ['.figures .number', 'propellant mass'],
    ] as const) {
      const asker = page.locator(asks).first()
      await asker.focus()
      await press(page, 'Enter')
      await expect.poll(() => focused(page)).toBe(`the working of ${name}`)
      expect(await inSight(page)).toBe(true)
      await press(page, 'Escape')
      expect(await page.locator('.working').count()).toBe(0)
      expect(await asker.evaluate(each => each === document.activeElement)).toBe(true)
      expect(await inSight(page)).toBe(true)
    }
    expect(complaints).toEqual([])
  })

  test('the focus goes where it can be seen: behind a fact that is a lever now, from a field to what follows it, from the card', async () => {
    const { page, complaints } = await fresh()
    await answered(page)
    // As keys bring it there.
    await page.locator('[id="fact dry mass"]').focus()
    await press(page, 'Tab', 'Enter')
    await expect.poll(() => focused(page)).toBe('dry mass')
    expect(await inSight(page)).toBe(true)
    await page.locator(PEAK).focus()
    await press(page, 'Enter')
    await page.waitForSelector('.typing input')
    await press(page, 'Tab')
    expect(await page.locator('.typing').count()).toBe(0)
    expect(await focused(page)).toBe('max q')
    for (const key of ['Enter', 'Escape']) {
      await page.locator('#flightcard').focus()
      await press(page, 'Enter')
      expect(await page.getAttribute('#flightcard', 'aria-expanded')).toBe('true')
      await page.locator('.cardhead button').last().focus()
      await press(page, key)
      expect(await page.locator('.cardbox.closed').count()).toBe(1)
      expect(await focused(page)).toBe('flightcard')
    }
    expect(complaints).toEqual([])
  })

  test('Ctrl and Z in a field takes back what is typed there, and the last change where nothing is', async () => {
    const { page } = await fresh()
    const field = page.locator('[id="fact dry mass"]')
    await field.fill('170 kg')
    await press(page, 'Enter')
    expect(await text(page)).toContain('= 170 kg ')
    await page.keyboard.type('x')
    await press(page, 'Control+z')
    expect(await text(page)).toContain('= 170 kg ')
    expect(await field.inputValue()).toBe('170 kg')
    await press(page, 'Control+z')
    expect(await text(page)).toBe(heron)
    expect(await field.inputValue()).toBe('165 kg')
    await press(page, 'Control+y')
    expect(await field.inputValue()).toBe('170 kg')
    // A sign of the field is no key of the page.
    await page.keyboard.type('?')
    expect(await page.locator('dialog[open]').count()).toBe(0)
  })

  test('an outcome is said when the hand is still, not at each letter', async () => {
    const { page } = await fresh()
    await answered(page)
    await expect.poll(() => page.textContent('[role="status"].unseen >> nth=-1')).toMatch(/^Solved/)
    await page.locator('.cm-content').focus()
    await page.keyboard.press('Control+End')
    const all = await listen(page)
    const pauses = await pausesOn(page)
    // A line that is not whole yet needs mending; whole, it leaves the verdict as it was.
    for (const letter of 'must max mach at most 9') {
      await page.keyboard.press(letter === ' ' ? 'Space' : letter)
      await page.waitForTimeout(50)
    }
    await answered(page)
    await page.waitForTimeout(900)
    expect((await all()).length).toBeLessThanOrEqual(2 * (await pauses(500)))
    await page.keyboard.press('Backspace')
    await expect.poll(all).toContainEqual(expect.stringMatching(/^Line 23 needs mending: A value is missing/))
  })

  test('a lever that is moved while a line needs mending shows where it will be, and what it is asked for then', async () => {
    const { page, complaints } = await fresh()
    await write(page, heron.replace('must   max q', 'must   max qq'))
    await page.waitForSelector('text=needs mending')
    const pointer = '.setting:nth-child(1) .pointer'
    await page.locator(pointer).focus()
    await press(page, 'ArrowLeft', 'ArrowLeft')
    const there = 'fuel fraction 90 %, pinned at 90 % once the sheet is mended'
    await expect.poll(() => heard(page, pointer)).toBe(there)
    expect(await page.getAttribute(pointer, 'aria-valuenow')).toBe('90')
    await press(page, 'Escape')
    await expect.poll(() => heard(page, pointer)).toMatch(/^fuel fraction 92 %/)
    await press(page, 'p')
    await write(page, heron)
    await told(page)
    await expect.poll(() => page.textContent('.setting:nth-child(1) .held')).toBe('pinned')
    expect(complaints).toEqual([])
  })

  test('where a hand is on its way to is not said', async () => {
    const { page } = await fresh()
    await answered(page)
    const all = await listen(page)
    await page.locator(PEAK).focus()
    await press(page, 'ArrowRight')
    // Before what came of that is said, the mark is taken to where musts are short, and held there.
    await page.locator(MARK).focus()
    await page.keyboard.press('Home')
    await expect.poll(() => heard(page, MARK)).toMatch(/short$/)
    await page.waitForTimeout(900)
    expect((await all()).filter(words => !words.startsWith('Solved'))).toEqual([])
    await press(page, 'Escape')
    await expect.poll(() => page.textContent('[role="status"].unseen >> nth=-1')).toMatch(/^Solved/)
  })

  test('variants are counted aloud when all are solved, not one by one', async () => {
    const { page } = await fresh()
    const all = await listen(page)
    await page.locator('button:has-text("Write that")').focus()
    await press(page, 'Enter')
    await page.waitForSelector('section[aria-labelledby="variants"] tbody tr')
    await answered(page)
    const counted = async (): Promise<readonly string[]> =>
      (await all()).filter(words => !words.startsWith('Solved')).map(words => words.replace(/\s/g, ' '))
    await expect.poll(counted).toEqual(['2: 1 meets every target, 1 every must only'])
  })

  test('what has no other outcome is said: saved, kept among the drafts; a name of a draft is put back by Escape', async () => {
    const { page } = await fresh()
    const said = (): Promise<string | null> => page.textContent('[role="status"].unseen >> nth=-1')
    await page.locator('nav button:has-text("Save")').focus()
    await press(page, 'Enter')
    await expect.poll(said).toBe('saved to heron.loft')
    await page.locator('nav button:has-text("Drafts")').focus()
    await press(page, 'Enter')
    await page.locator('button:has-text("Keep this one")').focus()
    await press(page, 'Enter')
    await expect.poll(said).toBe('kept as draft 1')
    await press(page, 'Enter')
    await expect.poll(said).toBe('kept already, as draft 1')
    const name = page.locator('.drafts input')
    await name.focus()
    await page.keyboard.type('mine')
    await press(page, 'Escape')
    expect(await name.inputValue()).toBe('draft 1')
  })

  test('a setting that is typed keeps its ruler in its place', async () => {
    const { page } = await fresh()
    await answered(page)
    const pointer = page.locator('.setting:nth-child(1) .pointer')
    const top = (await pointer.boundingBox())!.y
    await pointer.focus()
    await press(page, 'Enter')
    await page.waitForSelector('.typing input')
    expect(Math.abs((await pointer.boundingBox())!.y - top)).toBeLessThan(1)
  })

  test('what is worked on stays in sight where a conflict comes above it, and a fact stays in its place', async () => {
    const { page } = await fresh()
    await page.setViewportSize({ width: 1280, height: 800 })
    await answered(page)
    await page.locator('[id="fact dry mass"]').focus()
    const top = (): Promise<number> => page.evaluate(() => document.activeElement!.getBoundingClientRect().top)
    const before = await top()
    for (const mass of ['220 kg', '165 kg']) {
      await page.locator('[id="fact dry mass"]').fill(mass)
      await press(page, 'Enter')
      await expect.poll(async () => Math.abs((await top()) - before)).toBeLessThan(4)
    }
    await page.evaluate(() => scrollTo(0, 0))
    await page.locator(PEAK).focus()
    await press(page, 'Home')
    await page.waitForSelector('.conflict')
    await expect.poll(() => inSight(page)).toBe(true)
    // Scrolled, at the head of the window: what is looked at below is kept in its place as well, but does not push it out.
    await press(page, 'Control+z')
    await answered(page)
    await page.locator('.setting:nth-child(2) .pointer').focus()
    await page.evaluate(() => scrollBy(0, document.activeElement!.getBoundingClientRect().top - 8))
    for (const [key, conflicts] of [
      ['End', 1],
      ['Escape', 0],
    ] as const) {
      await press(page, key)
      await answered(page)
      expect(await page.locator('.conflict').count()).toBe(conflicts)
      await expect.poll(() => inWindow(page)).toBe(true)
    }
  })
})
