import { describe, expect, test } from 'vitest'
import { atHand, found } from './at-hand.ts'
import { answered, told } from './browser.ts'
import { expectLarge, heron, text, write } from './hands.ts'

describe.runIf(found)('the text on the page', () => {
  const { fresh } = atHand()

  test('what is wrong is marked in its place as one types, with its mend as a button; the numbers from before stay', async () => {
    const { page, complaints } = await fresh()
    await write(page, heron.replace('must   max q', 'must   max qq'))
    await told(page)
    expect(await page.textContent('.page > main > .verdict')).toContain(
      'Line 20 needs mending; these are the numbers from before it.',
    )
    await expectLarge(page, ['92 %', '61 %'])
    const message = page.locator('.message.error')
    expect(await message.count()).toBe(1)
    expect(await page.locator('.wave.error').textContent()).toContain('max qq')
    await message.locator('button').click()
    await told(page)
    expect(await text(page)).toBe(heron.replace('must   max q', 'must   max q'))
    expect(await page.locator('.message').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  test('typing completes names of the sheet and units', async () => {
    const { page } = await fresh()
    await page.locator('.cm-content').click()
    await page.keyboard.press('Control+End')
    await page.keyboard.type('must   burnout al')
    await page.waitForSelector('.cm-tooltip-autocomplete')
    expect(await page.locator('.cm-tooltip-autocomplete .cm-completionLabel').allTextContents()).toContain(
      'burnout altitude',
    )
    await page.keyboard.press('Enter')
    await page.keyboard.type(' at least 20 k')
    await page.waitForFunction(() =>
      [...document.querySelector('.editor')!.shadowRoot!.querySelectorAll('.cm-tooltip-autocomplete li')].some(
        each => each.textContent === 'km',
      ),
    )
  })

  test('nothing of a hostile sheet is ever markup', async () => {
    const { page, complaints } = await fresh()
    const hostile = [
      'sheet "<img src=x onerror=document.title=1><script>document.title=1</script>"',
      'fact a = 1 kg # <b onclick=alert(1)>bold</b> "\'`{1}',
      'lever toString from 1 kg to 2 kg # </textarea></style><script>document.title=2</script>',
      'figure constructor = a + toString',
      'must constructor at least 2 kg',
      'must <svg/onload=alert(1)> at least 3',
    ]
    await write(page, hostile.slice(0, 5).join('\n'))
    await answered(page)
    expect(await page.textContent('h1')).toContain('<img src=x')
    await write(page, hostile.join('\n'))
    await answered(page)
    expect(await page.locator('main img, main script, main b[onclick]').count()).toBe(0)
    expect(await page.title()).not.toMatch(/^[12]$/)
    expect(complaints).toEqual([])
  })

  test('a sheet of four hundred lines stays usable', async () => {
    const { page } = await fresh()
    const lines = Array.from({ length: 380 }, (_, k) => `figure part ${'abcdefghij'[k % 10]}${k} = ${k} kg + dry mass`)
    await write(page, `${heron}\n${lines.join('\n')}\n`)
    await told(page)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await told(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
  })

  test('sheets without flight, without levers, without anything have words for it', async () => {
    const { page, complaints } = await fresh()
    await write(page, 'fact a = 2 m\nfigure b = a^2\n')
    await answered(page)
    expect(await page.textContent('main')).toContain('Nothing to set: this sheet has no levers.')
    expect(await page.textContent('main')).toContain('Nothing is asked of this flight yet.')
    await write(page, '')
    await answered(page)
    expect(await page.textContent('main')).toContain('An empty sheet.')
    expect(complaints).toEqual([])
  })
})
