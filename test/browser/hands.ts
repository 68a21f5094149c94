import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import { answered } from './browser.ts'

export const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

/** Drops files on the page, by name and text. */
export async function dropped(page: Page, files: readonly (readonly [string, string])[]): Promise<void> {
  await page.evaluate(all => {
    const dataTransfer = new DataTransfer()
    for (const [name, words] of all) dataTransfer.items.add(new File([words], name))
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }))
  }, files)
}

/** Waits until the browser's own store holds these words. */
export async function kept(page: Page, words: string): Promise<void> {
  // The names are those of idb-keyval's store, and the key of the page in it. Asked again from here: the page's own waiting takes a promise
  // for a yes, whatever comes of it.
  const store = (): Promise<unknown> =>
    page.evaluate(
      () =>
        new Promise((done, failed) => {
          const asked = indexedDB.open('keyval-store')
          asked.onerror = () => failed(asked.error)
          asked.onsuccess = () => {
            const found = asked.result.transaction('keyval').objectStore('keyval').get('loftsheet')
            found.onsuccess = () => {
              asked.result.close()
              done(found.result ?? null)
            }
          }
        }),
    )
  await expect.poll(async () => JSON.stringify(await store())).toContain(JSON.stringify(words).slice(1, -1))
}

/** The sheet as the editor holds it. */
export function text(page: Page): Promise<string> {
  return page.evaluate(() => {
    const lines = document.querySelector('.editor')!.shadowRoot!.querySelectorAll('.cm-line')
    return [...lines].map(line => line.textContent).join('\n')
  })
}

/** Pastes a whole sheet over the one in the editor. */
export async function write(page: Page, words: string): Promise<void> {
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

/** Drags the tab of a handle, once all stands still on the page. */
export async function drag(page: Page, selector: string, x: number, y: number): Promise<void> {
  await answered(page)
  const handle = page.locator(selector)
  await handle.scrollIntoViewIfNeeded()
  const box = (await handle.locator('.tab').boundingBox())!
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2)
  await page.mouse.down()
  await page.mouse.move(box.x + box.width / 2 + x, box.y + box.height / 2 + y, { steps: 8 })
  await page.mouse.up()
}

/** The large numbers at the top begin so (or, all of them, do not). */
export async function expectLarge(page: Page, wanted: readonly string[], same = true): Promise<void> {
  const told = (await page.locator('.page > main > .settings .large').allTextContents()).map(each =>
    each.replace(/\s+/g, ' '),
  )
  const head = told.slice(0, wanted.length)
  if (same) expect(head).toEqual(wanted)
  else expect(head).not.toEqual(wanted)
}

/** From now on counts the presses of keys that came more than so long [ms] after the one before, for the hand or for a page that was held up: both are pauses to it. */
export async function pausesOn(page: Page): Promise<(longer: number) => Promise<number>> {
  const times = await page.evaluateHandle(() => {
    const presses: { readonly pressed: number; readonly heard: number }[] = []
    addEventListener('keydown', event => presses.push({ pressed: event.timeStamp, heard: performance.now() }), true)
    return presses
  })
  return async longer => {
    const presses = await times.jsonValue()
    return presses.slice(1).filter(({ pressed, heard }, k) => {
      const before = presses[k]!
      return Math.max(pressed - before.pressed, heard - before.heard) > longer
    }).length
  }
}
