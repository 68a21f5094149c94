import { describe, expect, test } from 'vitest'
import { opened } from '../../sheets/page/state/draft.ts'
import { linkTo } from '../../sheets/page/state/link.ts'
import { atHand, found } from './at-hand.ts'
import { violations } from './axe.ts'
import { answered, told } from './browser.ts'
import { dropped, expectLarge, heron, kept, text, write } from './hands.ts'

const BESIDE = 'section[aria-labelledby="files"]'

describe.runIf(found)('what the page keeps', () => {
  const { fresh, apart, here } = atHand()

  test('the sheet is kept in the browser through a crash in the middle of an edit', async () => {
    const { page, context } = await apart({ viewport: { width: 1200, height: 900 } })
    await page.goto(here().address)
    await told(page)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowRight')
    await page.locator('.cm-content').click()
    await page.keyboard.press('Control+End')
    await page.keyboard.type('# half a th')
    await kept(page, '# half a th')
    expect(await page.textContent('.kept')).toBe('kept in this browser')
    await page.close({ runBeforeUnload: false })
    const again = await context.newPage()
    await again.goto(here().address)
    await told(again)
    expect(await text(again)).toContain('# half a th')
    expect(await text(again)).toContain('6.1 g0')
    expect(await again.textContent('.page > main > .verdict')).toMatch(
      /Brought back from .*, before the browser closed\./,
    )
  })

  test('a link carries the sheet and its pins in its fragment, which no server sees', async () => {
    const { page } = await fresh()
    await page.locator('.page > main > .settings > .setting:nth-child(2) button').click()
    await write(page, heron.replace('70 kPa', '71 kPa'))
    await told(page)
    await page.click('nav >> text=Link')
    await page.waitForURL(/#sheet=/)
    const link = page.url()
    expect(link).toMatch(/#sheet=[\w-]+$/)
    const asked: string[] = []
    const { page: visitor } = await apart()
    visitor.on('request', request => asked.push(request.url()))
    await visitor.goto(link)
    await told(visitor)
    expect(await text(visitor)).toContain('71 kPa')
    expect(await visitor.locator('.page > main > .settings > .setting:nth-child(2) .held').textContent()).toBe('pinned')
    expect(asked.filter(url => !url.startsWith('blob:')).every(url => url.startsWith(here().address))).toBe(true)
    await visitor.goto(`${here().address}#sheet=nonsense`)
    await told(visitor)
  })

  test('a sheet from a link does not take the place of what is kept here unseen, and changes to it outlast a reload', async () => {
    const { page } = await fresh()
    const own = heron.replace('165 kg', '166 kg')
    await write(page, own)
    await kept(page, '166 kg')
    const sent = heron.replace('70 kPa', '71 kPa')
    await page.goto('about:blank')
    await page.goto(`${here().address}#${linkTo(opened(sent), {}).fragment}`)
    await told(page)
    expect(await text(page)).toBe(sent)
    const note = page.locator('.verdict .hint', { hasText: 'What you had here before is kept among the drafts.' })
    expect(await note.count()).toBe(1)
    await page.waitForSelector('nav >> text=Drafts, 1')
    await write(page, heron.replace('70 kPa', '72 kPa'))
    await kept(page, '72 kPa')
    // The address tells the sheet as it was sent until it is another one.
    await page.waitForURL(here().address)
    await page.reload()
    await told(page)
    expect(await text(page)).toBe(heron.replace('70 kPa', '72 kPa'))
    await page.waitForSelector('nav >> text=Drafts, 1')
  })

  test('of several sheets dropped at once the first is opened, the others are kept as drafts, and that is told', async () => {
    const { page } = await fresh()
    const other = (title: string): string => heron.replace(/sheet ".*"/, `sheet "${title}"`)
    await dropped(page, [
      ['one.loft', other('The first')],
      ['two.loft', other('The second')],
      ['three.loft', other('The third')],
    ])
    await page.waitForSelector(
      '.verdict .hint >> text=one.loft is opened; two.loft and three.loft are kept among the drafts.',
    )
    await page.waitForSelector('h1 >> text=The first')
    // The sheet that was open before is kept as well, as ever.
    await page.click('nav >> text=Drafts, 3')
    for (const name of ['two.loft', 'three.loft']) await page.waitForSelector(`main >> text=${name}`)
  })

  test('of several files dropped at once all that are not taken are told, those that cannot be read among them', async () => {
    const { page, complaints } = await fresh()
    await page.evaluate(
      words => {
        const dataTransfer = new DataTransfer()
        dataTransfer.items.add(new File(['a,b\n'.padEnd(8_000_001, '1')], 'large.csv'))
        dataTransfer.items.add(new File(['a\n1\n'], 'small.csv'))
        dataTransfer.items.add(new File([words], 'gone.loft'))
        dataTransfer.items.add(new File([words], 'own.loft'))
        const { text } = File.prototype
        // As a folder does, or a file that was moved meanwhile.
        File.prototype.text = function (this: File) {
          return this.name === 'gone.loft' ? Promise.reject(new DOMException('not found')) : text.call(this)
        }
        document.body.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }))
      },
      heron.replace(/sheet ".*"/, 'sheet "My own"'),
    )
    await page.waitForSelector('h1 >> text=My own')
    const note = await page.textContent('.verdict .hint')
    expect(note).toContain('large.csv is not taken')
    expect(note).toContain('gone.loft could not be read')
    await page.waitForSelector(`${BESIDE} >> text=small.csv`)
    expect(complaints).toEqual([])
  })

  test('a link carries the files that the sheet names while they are small; else it says what it is without', async () => {
    const { page } = await fresh()
    const sheet = heron.replace(/fact {2}drag coefficient .*/, 'table drag coefficient of mach from "drag.csv"')
    await dropped(page, [
      ['drag.csv', 'mach,drag\n0,0.42\n5,0.42\n'],
      ['other.csv', 'a\n1\n'],
      ['own.loft', sheet],
    ])
    await page.waitForSelector(`${BESIDE} >> text=drag.csv: here`)
    await told(page)
    await page.click('nav >> text=Link')
    await page.waitForURL(/#sheet=/)
    const { page: visitor } = await apart()
    await visitor.goto(page.url())
    await told(visitor)
    await expectLarge(visitor, ['92 %', '61 %', '276 kg'])
    expect(await visitor.textContent(BESIDE)).toContain('drag.csv: here')
    expect(await visitor.textContent(BESIDE)).not.toContain('other.csv')
    const long = Array.from({ length: 8000 }, (_, k) => `${k / 1000},${0.42 + Math.sin(k) / 100}`)
    await dropped(page, [['drag.csv', `mach,drag\n${long.join('\n')}\n`]])
    await kept(page, long.at(-1)!)
    await told(page)
    await page.click('nav >> text=Link')
    const note = page.locator('.verdict .hint', { hasText: 'The link is without drag.csv' })
    expect(await note.textContent()).toMatch(/the whole would be \d+,\d{3}\scharacters long/)
    await visitor.goto('about:blank')
    await visitor.goto(page.url())
    await told(visitor)
    expect(await text(visitor)).toBe(sheet)
  })

  test('the worker that is killed in the middle costs nothing', async () => {
    const { page } = await apart()
    await page.addInitScript(() => {
      const Real = Worker
      const all: Worker[] = []
      Object.assign(globalThis, { workers: all })
      globalThis.Worker = class extends Real {
        constructor(...words: ConstructorParameters<typeof Worker>) {
          super(...words)
          all.push(this)
        }
      }
    })
    await page.goto(here().address)
    await told(page)
    await page.evaluate(() => {
      const { workers } = globalThis as unknown as { workers: Worker[] }
      workers.at(-1)!.dispatchEvent(new ErrorEvent('error', { message: 'killed' }))
    })
    await page.locator('[data-limit="max q high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await told(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(await text(page)).toMatch(/69 kPa/)
  })

  test('it runs without a network once it stands', async () => {
    const { page, context, complaints } = await apart()
    await page.goto(here().address)
    await answered(page)
    await context.setOffline(true)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(complaints).toEqual([])
  })

  test('drafts are kept, set side by side, and taken up again', async () => {
    const { page } = await fresh()
    await page.click('nav >> text=Drafts')
    await page.click('text=Keep this one')
    await write(page, heron.replace('165 kg', '180 kg'))
    await told(page)
    await page.click('text=Compare')
    await page.waitForSelector('[aria-label="drafts compared"] table')
    expect(await page.locator('[aria-label="drafts compared"] thead th').allTextContents()).toEqual([
      'setting',
      'as it stands',
      'draft 1',
    ])
    expect(await page.locator('.differs').count()).toBeGreaterThan(0)
    await page.click('text=Take it up')
    await told(page)
    expect(await text(page)).toBe(heron)
  })

  test('a table comes from a file that is dropped with its sheet, and is there again after a crash', async () => {
    const { page, context, complaints } = await apart({ viewport: { width: 1200, height: 900 } })
    await page.goto(here().address)
    await told(page)
    const sheet = heron.replace(/fact {2}drag coefficient .*/, 'table drag coefficient of mach from "data/drag.csv"')
    await dropped(page, [['own.loft', sheet]])
    await page.waitForSelector(BESIDE)
    await told(page)
    expect(await page.textContent('.message.error')).toContain('Drop it on the page or choose it with Open')
    expect(await page.textContent(BESIDE)).toContain('data/drag.csv: not here yet')
    expect(await violations(page)).toEqual([])
    await dropped(page, [['drag.csv', 'mach,drag\n0,0.42\n5,0.42\n']])
    await page.waitForSelector(`${BESIDE} >> text=data/drag.csv: here`)
    await told(page)
    expect(await page.locator('.message').count()).toBe(0)
    // A table of the one number is the number.
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    await page.setInputFiles('[aria-label="the file data/drag.csv"]', {
      name: 'other.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('mach,drag\n0,0.3\n5,0.3\n'),
    })
    await kept(page, 'mach,drag\n0,0.3')
    await told(page)
    await expectLarge(page, ['92 %', '61 %', '276 kg'], false)
    await page.close({ runBeforeUnload: false })
    const again = await context.newPage()
    await again.goto(here().address)
    await told(again)
    expect(await again.textContent('.sentence')).toContain('Solved')
    await again.click(`${BESIDE} >> text=Take it out: data/drag.csv`)
    await told(again)
    await expectLarge(again, ['92 %', '61 %', '276 kg'])
    expect(complaints).toEqual([])
  })
})
