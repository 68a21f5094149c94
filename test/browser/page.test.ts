import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { gzipSync } from 'node:zlib'
import axe from 'axe-core'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { answered, builtPage, found, launch, leave, listening, opened, type Stand, single, stand } from './browser.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

describe.runIf(found)('the page in a Chromium', () => {
  let here: Stand
  beforeAll(async () => {
    here = await stand(await builtPage(), null)
  }, 120_000)
  afterAll(() => leave(here))

  const fresh = (how: Parameters<typeof opened>[1] = {}) => opened(here, how)

  test('a first visitor meets the Heron solved, with four things to try', async () => {
    const { page, context, complaints } = await fresh()
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    expect(await page.textContent('.sentence')).toContain('Solved: every target is met.')
    expect(await page.locator('.firstrun li').count()).toBe(4)
    expect(await page.locator('.page > main > section > .target').count()).toBe(5)
    // The trade map with its detail, and the flight.
    expect(await page.locator('main .drawing svg').count()).toBe(3)
    expect(await page.getByLabel(/^Detail A: the ground about the mark/).count()).toBe(1)
    await page.click('.firstrun button')
    expect(await page.locator('.firstrun').count()).toBe(0)
    expect(complaints).toEqual([])
    await context.close()
  })

  test('a limit that is dragged is written into the text in the smallest way, is one undo, and moves the settings', async () => {
    const { page, context, complaints } = await fresh()
    await drag(page, '[data-limit="peak g high"]', -60, 0)
    await answered(page)
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
    await answered(page)
    expect(await text(page)).toBe(before)
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    await page.click('text=Redo')
    await answered(page)
    expect(await text(page)).toBe(after)
    expect(complaints).toEqual([])
    await context.close()
  })

  test('Escape puts a limit back, arrows move it a step, Enter types it', async () => {
    const { page, context } = await fresh()
    const tab = page.locator('[data-limit="max q high"]')
    await tab.focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await text(page)).toMatch(/max q +at most +69 kPa/)
    await page.keyboard.press('Shift+ArrowRight')
    await answered(page)
    expect(await text(page)).toMatch(/max q +at most +79 kPa/)
    await page.keyboard.press('Enter')
    await page.fill('.typing input', '72.5 kPa')
    await page.keyboard.press('Enter')
    await answered(page)
    expect(await text(page)).toMatch(/max q +at most +72.5 kPa/)
    await tab.scrollIntoViewIfNeeded()
    const box = (await tab.locator('.tab').boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x - 80, box.y, { steps: 4 })
    expect(await text(page)).not.toMatch(/72.5 kPa/)
    await page.keyboard.press('Escape')
    await page.mouse.up()
    await answered(page)
    expect(await text(page)).toMatch(/max q +at most +72.5 kPa/)
    await context.close()
  })

  test('a lever that is dragged is pinned where it is let go, and let go again by its button', async () => {
    const { page, context } = await fresh()
    await drag(page, '.page > main > .settings > .setting:nth-child(1) .pointer', -40, 0)
    await answered(page)
    const first = page.locator('.page > main > .settings > .setting:nth-child(1)')
    expect(await first.locator('.held').textContent()).toBe('pinned')
    expect(await first.locator('.large').textContent()).not.toContain('92')
    expect(await text(page)).toBe(heron)
    await first.locator('button').click()
    await answered(page)
    await expectLarge(page, ['92 %', '61 %'])
    await first.locator('.pointer').focus()
    await page.keyboard.press('p')
    await answered(page)
    expect(await first.locator('.held').textContent()).toBe('pinned')
    await context.close()
  })

  test('the mark of the trade map holds both levers while it is dragged; let go, and the sheet is solved again', async () => {
    const { page, context } = await fresh()
    const mark = page.locator('.mapmark')
    await mark.scrollIntoViewIfNeeded()
    const box = (await mark.locator('.lozenge').boundingBox())!
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
    await page.mouse.down()
    await page.mouse.move(box.x - 120, box.y - 40, { steps: 6 })
    await page.waitForFunction(() => !document.querySelector('.large')!.textContent!.includes('92'))
    expect(await page.textContent('.page > main > .verdict')).toMatch(/At these settings .* (is|are) short/)
    expect(await page.locator('.conflict').count()).toBe(0)
    await page.mouse.up()
    await answered(page)
    await expectLarge(page, ['92 %', '61 %'])
    await mark.focus()
    await page.keyboard.press('ArrowLeft')
    await page.keyboard.press('Enter')
    await answered(page)
    await expectLarge(page, ['91 %', '61 %'], true)
    await context.close()
  })

  test('a conflict comes before the settings, and a mend that is chosen solves it, a draft kept first', async () => {
    const { page, context, complaints } = await fresh()
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
    await page.locator('.mends button').first().click()
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(await page.locator('nav >> text=Drafts, 1').count()).toBe(1)
    expect(await page.textContent('[role="status"]')).toContain('Solved')
    expect(complaints).toEqual([])
    await context.close()
  })

  test('a fact is written over in place, and made a lever by one gesture', async () => {
    const { page, context } = await fresh()
    await page.fill('[id="fact dry mass"]', '170 kg')
    await page.keyboard.press('Enter')
    await answered(page)
    expect(await text(page)).toContain('fact  dry mass          = 170 kg         # airframe')
    await page.locator('.fact', { hasText: 'dry mass' }).locator('button').click()
    await answered(page)
    expect(await text(page)).toContain('lever dry mass from 136 kg to 204 kg         # airframe')
    expect(await page.locator('.settings .pointer').count()).toBe(3)
    await context.close()
  })

  test('a number that is chosen tells its working', async () => {
    const { page, context } = await fresh()
    await page.locator('.figures button', { hasText: 'the working of liftoff ratio' }).click()
    await page.waitForSelector('.working pre')
    const told = (await page.textContent('.working pre'))!
    expect(told).toContain('thrust on the pad')
    expect(told).toContain('2.17')
    await context.close()
  })

  test('what is wrong is marked in its place as one types, with its mend as a button; the numbers from before stay', async () => {
    const { page, context, complaints } = await fresh()
    await write(page, heron.replace('must   max q', 'must   max qq'))
    await answered(page)
    expect(await page.textContent('.page > main > .verdict')).toContain(
      'Line 20 needs mending; these are the numbers from before it.',
    )
    await expectLarge(page, ['92 %', '61 %'])
    const message = page.locator('.message.error')
    expect(await message.count()).toBe(1)
    expect(await page.locator('.wave.error').textContent()).toContain('max qq')
    await message.locator('button').click()
    await answered(page)
    expect(await text(page)).toBe(heron.replace('must   max q', 'must   max q'))
    expect(await page.locator('.message').count()).toBe(0)
    expect(complaints).toEqual([])
    await context.close()
  })

  test('typing completes names of the sheet and units', async () => {
    const { page, context } = await fresh()
    await page.locator('.cm-content').click()
    await page.keyboard.press('Control+End')
    await page.keyboard.type('must   burnout al')
    await page.waitForSelector('.cm-tooltip-autocomplete')
    expect(await page.locator('.cm-tooltip-autocomplete li').allTextContents()).toContain('burnout altitude')
    await page.keyboard.press('Enter')
    await page.keyboard.type(' at least 20 k')
    await page.waitForFunction(() =>
      [...document.querySelector('.editor')!.shadowRoot!.querySelectorAll('.cm-tooltip-autocomplete li')].some(
        each => each.textContent === 'km',
      ),
    )
    await context.close()
  })

  test('the sheet is kept in the browser through a crash in the middle of an edit', async () => {
    const context = await here.browser.newContext({ viewport: { width: 1200, height: 900 } })
    const page = await context.newPage()
    await page.goto(here.address)
    await answered(page)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowRight')
    await page.locator('.cm-content').click()
    await page.keyboard.press('Control+End')
    await page.keyboard.type('# half a th')
    await page.waitForFunction(() => document.querySelector('.kept')!.textContent === 'kept in this browser')
    await page.waitForTimeout(400)
    await page.close({ runBeforeUnload: false })
    const again = await context.newPage()
    await again.goto(here.address)
    await answered(again)
    expect(await text(again)).toContain('# half a th')
    expect(await text(again)).toContain('6.1 g0')
    expect(await again.textContent('.page > main > .verdict')).toMatch(
      /Brought back from .*, before the browser closed\./,
    )
    await context.close()
  })

  test('a link carries the sheet and its pins in its fragment, which no server sees', async () => {
    const { page, context } = await fresh()
    await page.locator('.page > main > .settings > .setting:nth-child(2) button').click()
    await write(page, heron.replace('70 kPa', '71 kPa'))
    await answered(page)
    await page.click('nav >> text=Link')
    await page.waitForURL(/#sheet=/)
    const link = page.url()
    expect(link).toMatch(/#sheet=[\w-]+$/)
    const asked: string[] = []
    const other = await here.browser.newContext()
    const visitor = await other.newPage()
    visitor.on('request', request => asked.push(request.url()))
    await visitor.goto(link)
    await answered(visitor)
    expect(await text(visitor)).toContain('71 kPa')
    expect(await visitor.locator('.page > main > .settings > .setting:nth-child(2) .held').textContent()).toBe('pinned')
    expect(asked.filter(url => !url.startsWith('blob:')).every(url => url.startsWith(here.address))).toBe(true)
    await visitor.goto(`${here.address}#sheet=nonsense`)
    await answered(visitor)
    await context.close()
    await other.close()
  })

  test('the worker that is killed in the middle costs nothing', async () => {
    const context = await here.browser.newContext()
    const page = await context.newPage()
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
    await page.goto(here.address)
    await answered(page)
    await page.evaluate(() => {
      const { workers } = globalThis as unknown as { workers: Worker[] }
      workers.at(-1)!.dispatchEvent(new ErrorEvent('error', { message: 'killed' }))
    })
    await page.locator('[data-limit="max q high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(await text(page)).toMatch(/69 kPa/)
    await context.close()
  })

  test('it runs without a network once it stands', async () => {
    const { page, context, complaints } = await fresh()
    await context.setOffline(true)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    expect(complaints).toEqual([])
    await context.close()
  })

  test('nothing of a hostile sheet is ever markup', async () => {
    const { page, context, complaints } = await fresh()
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
    await context.close()
  })

  test('a sheet of four hundred lines stays usable', async () => {
    const { page, context } = await fresh()
    const lines = Array.from({ length: 380 }, (_, k) => `figure part ${'abcdefghij'[k % 10]}${k} = ${k} kg + dry mass`)
    await write(page, `${heron}\n${lines.join('\n')}\n`)
    await answered(page)
    await page.locator('[data-limit="peak g high"]').focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await page.textContent('.sentence')).toContain('Solved')
    await context.close()
  })

  test('sheets without flight, without levers, without anything have words for it', async () => {
    const { page, context, complaints } = await fresh()
    await write(page, 'fact a = 2 m\nfigure b = a^2\n')
    await answered(page)
    expect(await page.textContent('main')).toContain('Nothing to set: this sheet has no levers.')
    expect(await page.textContent('main')).toContain('Nothing is asked of this flight yet.')
    await write(page, '')
    await answered(page)
    expect(await page.textContent('main')).toContain('An empty sheet.')
    expect(complaints).toEqual([])
    await context.close()
  })

  test('drafts are kept, set side by side, and taken up again', async () => {
    const { page, context } = await fresh()
    await page.click('nav >> text=Drafts')
    await page.click('text=Keep this one')
    await write(page, heron.replace('165 kg', '180 kg'))
    await answered(page)
    await page.click('text=Compare')
    await page.waitForSelector('[aria-label="drafts compared"] table')
    expect(await page.locator('[aria-label="drafts compared"] thead th').allTextContents()).toEqual([
      'setting',
      'as it stands',
      'draft 1',
    ])
    expect(await page.locator('.differs').count()).toBeGreaterThan(0)
    await page.click('text=Take it up')
    await answered(page)
    expect(await text(page)).toBe(heron)
    await context.close()
  })

  test('a sheet without variants says how to write some, and writes them', async () => {
    const { page, context, complaints } = await fresh()
    expect(await page.textContent(VARIANTS)).toContain('each dry mass over 165 kg, 198 kg')
    await page.click(`${VARIANTS} >> text=Write that`)
    await answered(page)
    expect(await text(page)).toBe(`${heron}\nvariants\n  each dry mass over 165 kg, 198 kg\n`)
    expect(await page.locator(`${VARIANTS} tbody tr`).count()).toBe(2)
    await page.click('text=Undo')
    await answered(page)
    expect(await page.locator(`${VARIANTS} table`).count()).toBe(0)
    expect(complaints).toEqual([])
    await context.close()
  })

  test('variants become a table with a picture of the whole, and follow the text', async () => {
    const { page, context, complaints } = await fresh()
    const block = 'variants\n  each dry mass over 160 kg, 165 kg, 170 kg\n  each specific impulse over 180 s, 242 s\n'
    await write(page, `${heron}\n${block}`)
    await answered(page)
    const rows = page.locator(`${VARIANTS} tbody tr`)
    expect(await rows.count()).toBe(6)
    // The sheet itself is the variant with its own dry mass and impulse.
    expect((await rows.nth(3).locator('td').allTextContents()).slice(0, 6)).toEqual([
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
    await context.close()
  })

  test('many variants wait to be asked for, are stopped by a button, and given up when the sheet changes', async () => {
    const { page, context, complaints } = await fresh()
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
    await context.close()
  })

  test('of three quantities that vary two are chosen for the picture', async () => {
    const { page, context } = await fresh()
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
    await context.close()
  })

  test('of several flights the one that is chosen is drawn', async () => {
    const { page, context, complaints } = await fresh()
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
    await page.locator('[data-limit]').first().focus()
    await page.keyboard.press('ArrowLeft')
    await answered(page)
    expect(await chooser.inputValue()).toBe(names[1])
    expect(complaints).toEqual([])
    await context.close()
  })

  test('a table comes from a file that is dropped with its sheet, and is there again after a crash', async () => {
    const context = await here.browser.newContext({ locale: 'en-GB', viewport: { width: 1200, height: 900 } })
    const page = await context.newPage()
    const complaints = listening(page)
    await page.goto(here.address)
    await answered(page)
    const sheet = heron.replace(/fact {2}drag coefficient .*/, 'table drag coefficient of mach from "data/drag.csv"')
    await dropped(page, [['own.loft', sheet]])
    await answered(page)
    expect(await page.textContent('.message.error')).toContain('Drop it on the page or choose it with Open')
    expect(await page.textContent(BESIDE)).toContain('data/drag.csv: not here yet')
    expect(await violations(page)).toEqual([])
    await dropped(page, [['drag.csv', 'mach,drag\n0,0.42\n5,0.42\n']])
    await answered(page)
    expect(await page.locator('.message').count()).toBe(0)
    // A table of the one number is the number.
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    expect(await page.textContent(BESIDE)).toContain('data/drag.csv: here')
    await page.setInputFiles('[aria-label="the file data/drag.csv"]', {
      name: 'other.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('mach,drag\n0,0.3\n5,0.3\n'),
    })
    await answered(page)
    await expectLarge(page, ['92 %', '61 %', '276 kg'], false)
    await page.waitForTimeout(500)
    await page.close({ runBeforeUnload: false })
    const again = await context.newPage()
    await again.goto(here.address)
    await answered(again)
    expect(await again.textContent('.sentence')).toContain('Solved')
    await again.click(`${BESIDE} >> text=Take it out: data/drag.csv`)
    await answered(again)
    await expectLarge(again, ['92 %', '61 %', '276 kg'])
    expect(complaints).toEqual([])
    await context.close()
  })

  test('a key that is held is written once an answer, as far as it has come', async () => {
    const { page, context } = await fresh()
    const presses = 40
    const told = await page.evaluate(many => {
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
    await answered(page)
    expect(told).toBe(presses)
    expect(await text(page)).toMatch(/max q +at most +110 kPa/)
    expect(await page.evaluate(() => (globalThis as unknown as { writes: () => number }).writes())).toBeLessThan(6)
    await page.click('text=Undo')
    await answered(page)
    expect(await text(page)).toBe(heron)
    await context.close()
  })

  test('the flight card prints as one page, from the page itself', async () => {
    const { page, context } = await fresh()
    await page.waitForFunction(() => document.querySelector('.card')?.shadowRoot?.querySelector('main') != null)
    await page.emulateMedia({ media: 'print' })
    const pdf = await page.pdf({ preferCSSPageSize: true })
    // Each page of a PDF is an object of the type Page (ISO 32000-1, 7.7.3.3).
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)).toHaveLength(1)
    await context.close()
  })

  test('what comes before the first answer is small', () => {
    // Scripts that the page and its worker begin with; all else comes by itself, behind the first answer.
    const begin = (name: string): readonly string[] => [
      name,
      ...[...readFileSync(join(here.place, name), 'utf8').matchAll(/(?:from|import)\s*"\.\/([\w-]+\.js)"/g)].map(
        each => each[1]!,
      ),
    ]
    const names = new Set([...begin('page.js'), ...begin('worker.js')])
    const bytes = [...names].reduce((sum, name) => sum + gzipSync(readFileSync(join(here.place, name))).length, 0)
    expect(bytes).toBeLessThan(250_000)
  })

  test('as one file it runs from a disk, with its sheet inside', async () => {
    const file = join(here.place, 'lesson.html')
    writeFileSync(
      file,
      single(here.place, { name: 'own.loft', text: heron.replace('Heron 3', 'Own </script> lesson') }),
    )
    const browser = await launch()
    const page = await browser.newPage()
    const complaints = listening(page)
    const asked: string[] = []
    page.on('request', request => asked.push(request.url()))
    await page.goto(pathToFileURL(file).href)
    await answered(page)
    expect(await page.textContent('h1')).toContain('Own </script> lesson')
    await expectLarge(page, ['92 %', '61 %'])
    expect(asked.filter(url => !/^(blob|data):/.test(url))).toHaveLength(1)
    expect(complaints).toEqual([])
    await browser.close()
  })

  for (const colorScheme of ['light', 'dark'] as const)
    for (const [name, viewport] of [
      ['wide', { width: 1440, height: 1000 }],
      ['phone', { width: 390, height: 844 }],
    ] as const)
      test(`no accessibility rule is broken: ${colorScheme}, ${name}`, async () => {
        const { page, context } = await fresh({ colorScheme, viewport })
        expect(await violations(page)).toEqual([])
        expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true)
        await write(page, heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis'))
        await answered(page)
        expect(await violations(page)).toEqual([])
        await write(page, heron.replace('must   max q', 'must   max qq'))
        await answered(page)
        expect(await violations(page)).toEqual([])
        await context.close()
      })
})

const VARIANTS = 'section[aria-labelledby="variants"]'
const BESIDE = 'section[aria-labelledby="files"]'

/** Drops files on the page, by name and text. */
async function dropped(page: Page, files: readonly (readonly [string, string])[]): Promise<void> {
  await page.evaluate(all => {
    const dataTransfer = new DataTransfer()
    for (const [name, words] of all) dataTransfer.items.add(new File([words], name))
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }))
  }, files)
  // A file is read before anything is asked of it.
  await page.waitForTimeout(100)
}

async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe.source)
  return page.evaluate(async () => {
    const { axe } = window as unknown as { axe: typeof import('axe-core') }
    const { violations } = await axe.run(document)
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(node => node.html.slice(0, 120)).join(' | ')}`)
  })
}

/** The sheet as the editor holds it. */
function text(page: Page): Promise<string> {
  return page.evaluate(() => {
    const lines = document.querySelector('.editor')!.shadowRoot!.querySelectorAll('.cm-line')
    return [...lines].map(line => line.textContent).join('\n')
  })
}

/** Pastes a whole sheet over the one in the editor. */
async function write(page: Page, words: string): Promise<void> {
  await page.locator('.cm-content').click()
  await page.keyboard.press('Control+a')
  if (words === '') await page.keyboard.press('Delete')
  else
    await page.evaluate(pasted => {
      const content = document.querySelector('.editor')!.shadowRoot!.querySelector('.cm-content')!
      const clipboardData = new DataTransfer()
      clipboardData.setData('text/plain', pasted)
      content.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }))
    }, words)
}

async function drag(page: Page, selector: string, x: number, y: number): Promise<void> {
  const handle = page.locator(selector)
  await handle.scrollIntoViewIfNeeded()
  const box = (await handle.locator('.tab').boundingBox())!
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
  await page.mouse.down()
  await page.mouse.move(box.x + box.width / 2 + x, box.y + box.height / 2 + y, { steps: 8 })
  await page.mouse.up()
}

/** The large numbers at the top begin so (or, all of them, do not). */
async function expectLarge(page: Page, wanted: readonly string[], same = true): Promise<void> {
  const told = (await page.locator('.page > main > .settings .large').allTextContents()).map(each =>
    each.replace(/\s+/g, ' '),
  )
  const head = told.slice(0, wanted.length)
  if (same) expect(head).toEqual(wanted)
  else expect(head).not.toEqual(wanted)
}
