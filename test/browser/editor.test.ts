import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { ownFolder } from '../support/folders.ts'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { dropped, heron, pausesOn, text, write } from './hands.ts'

async function type(page: Page, words: string, delay = 30): Promise<void> {
  for (const letter of words) {
    await page.keyboard.press(letter === '\n' ? 'Enter' : letter)
    await page.waitForTimeout(delay)
  }
}

function offers(page: Page): Promise<readonly string[]> {
  return page.locator('.cm-tooltip-autocomplete .cm-completionLabel').allTextContents()
}

/** The line that the cursor stands in, where it is in sight. */
function lineAtCursor(page: Page): Promise<string | null> {
  return page.evaluate(() => {
    const root = document.querySelector('.editor')!.shadowRoot as ShadowRoot & { getSelection(): Selection | null }
    const { anchorNode } = root.getSelection()!
    const line = (anchorNode instanceof Element ? anchorNode : anchorNode?.parentElement)?.closest('.cm-line')
    const { top = -1, bottom = -1 } = line?.getBoundingClientRect() ?? {}
    return top >= 0 && bottom <= innerHeight ? (line?.textContent ?? null) : null
  })
}

/** How far below the top of the window the cursor is [px]. */
function cursorTop(page: Page): Promise<number> {
  return page.evaluate(
    () => document.querySelector('.editor')!.shadowRoot!.querySelector('.cm-cursor')!.getBoundingClientRect().top,
  )
}

const small = 'fact a = 1.6 kg\nlever b from 1 kg to 2 kg\nmust a + b at most 3 kg\n'

describe.runIf(found)('the editor of the sheet', () => {
  const { fresh } = atHand()

  test('a sheet is written as it is typed: no line end goes into a list of words, and nothing is found fault with on the way', async () => {
    const { page, complaints } = await fresh()
    await write(page, '')
    await told(page)
    await page.evaluate(() => {
      const seen: string[] = []
      Object.assign(globalThis, { seen })
      const { shadowRoot } = document.querySelector('.editor')!
      new MutationObserver(() => {
        for (const message of shadowRoot!.querySelectorAll('.message')) seen.push(message.textContent!)
      }).observe(shadowRoot!, { childList: true, subtree: true })
    })
    const pauses = await pausesOn(page)
    // Slowly enough for the list to come to each unit and name that is whole.
    await type(page, small, 160)
    await answered(page)
    expect(await text(page)).toBe(small)
    const seen = await page.evaluate(() => (globalThis as unknown as { seen: string[] }).seen)
    // A machine that is busy elsewhere may have paused for longer than a writer would.
    if ((await pauses(600)) === 0) expect(seen).toEqual([])
    await type(page, 'must a at')
    await page.waitForSelector('.editor .message')
    expect(complaints).toEqual([])
  })

  test('Enter and Tab take a word from the list; without one Tab goes on and Enter is a new line', async () => {
    const { page } = await fresh()
    await write(page, `${heron.trimEnd()}\n`)
    await told(page)
    await page.keyboard.press('Control+End')
    await type(page, 'must burnout al')
    await expect.poll(() => offers(page)).toEqual(['burnout altitude'])
    await page.waitForTimeout(150)
    await page.keyboard.press('Tab')
    await expect.poll(async () => (await text(page)).split('\n').at(-1)).toBe('must burnout altitude')
    await type(page, ' at least 20 k')
    await expect.poll(() => offers(page)).toContain('km')
    await page.waitForTimeout(150)
    for (let k = 0; k < 4; k++) await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    await expect
      .poll(async () => (await text(page)).split('\n').at(-1))
      .toMatch(/^must burnout altitude at least 20 k\S+$/)
    expect(await offers(page)).toEqual([])
    await page.keyboard.press('Enter')
    expect((await text(page)).split('\n').at(-1)).toBe('')
    await page.keyboard.press('Tab')
    expect(await page.evaluate(() => document.activeElement!.closest('.editor'))).toBeNull()
  })

  test('lines under a head stand deeper, and an empty line leads back out', async () => {
    const { page } = await fresh()
    await write(page, '')
    await type(page, 'variants\neach a over 1, 2\n\nfact a = 1\nflight hop from Earth\n  stage b\ncount = 1')
    expect(await text(page)).toBe(
      'variants\n  each a over 1, 2\n\nfact a = 1\nflight hop from Earth\n  stage b\n    count = 1',
    )
  })

  test('what is typed is taken back line by line, letters apart from what was deleted, and shown where it stood', async () => {
    const { page } = await fresh()
    await answered(page)
    await page.locator('.cm-content').focus()
    await page.keyboard.press('Control+Home')
    const pauses = await pausesOn(page)
    await type(page, '# one\n# two\n')
    await page.keyboard.press('ArrowLeft')
    await page.keyboard.press('Backspace')
    await told(page)
    const steps = ['# one\n# tw\n', '# one\n# two\n', '# one\n# two', '# one\n', '# one', '']
    const head = (): Promise<string> => text(page).then(all => all.slice(0, all.length - heron.length))
    expect(await head()).toBe(steps[0])
    // Letters that a second parts are steps of their own, in the middle of a line too.
    const together = (await pauses(900)) === 0
    const seen = [steps[0]!]
    for (let k = 0; k < (together ? 8 : 16) && seen.at(-1) !== ''; k++) {
      await page.keyboard.press('Control+End')
      await page.keyboard.press('Control+z')
      await told(page)
      seen.push(await head())
      expect(await lineAtCursor(page)).not.toBeNull()
    }
    expect(seen.at(-1)).toBe('')
    expect(seen.length).toBeGreaterThan(3)
    if (together) for (const each of seen) expect(steps).toContain(each)
  })

  test('words are found in lines that are far out of the window, by keys alone', async () => {
    const { page, complaints } = await fresh()
    const lines = Array.from({ length: 300 }, (_, k) => `figure part ${'abcdefghij'[k % 10]}${k} = ${k} kg + dry mass`)
    await write(page, `${heron}\n${lines.join('\n')}\n`)
    await answered(page)
    await page.keyboard.press('Control+Home')
    await page.keyboard.press('Control+f')
    await type(page, 'PART J299')
    const count = page.locator('.find [role="status"]')
    await expect.poll(() => count.textContent()).toBe('1 of 1')
    const place = page.locator('.cm-searchMatch')
    await expect.poll(() => place.evaluate(each => each.closest('.cm-line')!.textContent)).toContain('= 299 kg')
    await expect.poll(() => place.evaluate(each => each.getBoundingClientRect().bottom <= innerHeight)).toBe(true)
    await page.keyboard.press('Escape')
    expect(await page.locator('.find').count()).toBe(0)
    await page.keyboard.type('x')
    await expect.poll(() => lineAtCursor(page)).toBe('figure x = 299 kg + dry mass')
    await page.keyboard.press('Control+f')
    await page.keyboard.press('Control+a')
    await type(page, 'camera')
    await expect.poll(() => count.textContent()).toBe('1 of 2')
    await page.keyboard.press('Enter')
    await expect.poll(() => count.textContent()).toBe('2 of 2')
    await page.keyboard.press('Enter')
    await expect.poll(() => count.textContent()).toBe('1 of 2')
    await type(page, 'zz')
    await expect.poll(() => count.textContent()).toBe('nowhere in the sheet')
    expect(complaints).toEqual([])
  })

  test('a sheet whose lines end with two signs is mended, and its limits are moved, in the right words', async () => {
    const { page, complaints } = await fresh()
    await dropped(page, [['far.loft', heron.replace('must   max q', 'must   max qq').replaceAll('\n', '\r\n')]])
    await page.locator('.message button').click()
    await told(page)
    expect(await text(page)).toBe(heron)
    await page.locator('[data-limit="max q high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await told(page)
    expect(await text(page)).toBe(heron.replace('70 kPa', '69 kPa'))
    // It is saved as it was opened.
    const saved = page.waitForEvent('download')
    await page.locator('nav button', { hasText: 'Save' }).first().click()
    const file = join(ownFolder('saved'), 'far.loft')
    await (await saved).saveAs(file)
    expect(readFileSync(file, 'utf8')).toBe((await text(page)).replaceAll('\n', '\r\n'))
    // Nothing that is told moves the cursor.
    await page.locator('.cm-content').focus()
    await page.keyboard.press('Control+Home')
    await page.keyboard.press('ArrowDown')
    await page.keyboard.type('# x')
    await answered(page)
    expect(await lineAtCursor(page)).toBe('# x')
    expect(complaints).toEqual([])
  })

  test('what is told of the last line is in sight, and so is its mend by keys', async () => {
    const { page } = await fresh()
    await write(page, `${heron}${'# more\n'.repeat(60)}`)
    await answered(page)
    await page.keyboard.press('Control+End')
    await type(page, 'must max qq at most 70 kPa')
    const message = page.locator('.message')
    await expect.poll(() => message.count()).toBe(1)
    await expect.poll(() => message.evaluate(each => each.getBoundingClientRect().bottom <= innerHeight)).toBe(true)
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    await expect.poll(() => message.count()).toBe(0)
    expect((await text(page)).split('\n').at(-1)).toBe('must max q at most 70 kPa')
  })

  test('the line that is written stays where it is while the parts of the page above it come and go', async () => {
    const { page } = await fresh()
    const facts = ['dry mass = 1.6 kg', 'propellant mass = 0.4 kg', 'vacuum thrust = 320 N', 'specific impulse = 210 s']
    await write(page, facts.map(fact => `fact ${fact}\n`).join(''))
    await answered(page)
    await page.keyboard.press('Control+End')
    const place = (): Promise<number> => cursorTop(page)
    await type(page, 'flight hop from Eart')
    await page.waitForTimeout(900)
    await answered(page)
    const before = await place()
    const height = await page.evaluate(() => document.body.scrollHeight)
    await page.keyboard.type('h')
    await page.waitForSelector('section[aria-labelledby="flight"]')
    await answered(page)
    expect((await page.evaluate(() => document.body.scrollHeight)) - height).toBeGreaterThan(800)
    // The message that goes from the foot of the page is no more than two lines. A page that is asked before its frame is drawn has not followed yet.
    await expect.poll(async () => Math.abs((await place()) - before)).toBeLessThan(64)
    // A hand that scrolls is let.
    await page.mouse.move(600, 400)
    await page.mouse.wheel(0, -300)
    await expect.poll(async () => (await place()) - before).toBeGreaterThan(250)
  })

  test('and where a conflict comes and goes that leaves it in sight', async () => {
    const { page } = await fresh()
    await write(page, `${heron}${'# more\n'.repeat(60)}`)
    await answered(page)
    await page.keyboard.press('Control+Home')
    const line = heron.split('\n').findIndex(each => each.startsWith('fact  dry mass'))
    for (let k = 0; k < line; k++) await page.keyboard.press('ArrowDown')
    for (let k = 0; k < heron.split('\n')[line]!.indexOf(' kg'); k++) await page.keyboard.press('ArrowRight')
    await page.evaluate(by => scrollBy(0, by), (await cursorTop(page)) - 300)
    const before = await cursorTop(page)
    for (const [key, conflicts] of [
      ['0', 1],
      ['Backspace', 0],
    ] as const) {
      await page.keyboard.press(key)
      await answered(page)
      expect(await page.locator('.conflict').count()).toBe(conflicts)
      await expect.poll(async () => Math.abs((await cursorTop(page)) - before)).toBeLessThan(4)
    }
  })
})
