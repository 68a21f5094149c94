import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { gzipSync } from 'node:zlib'
import { describe, expect, test } from 'vitest'
import { singlePage } from '../../sheets/command/page-files.ts'
import { atHand, found } from './at-hand.ts'
import { answered } from './browser.ts'
import { expectLarge, heron } from './hands.ts'

describe.runIf(found)('the files of the page', () => {
  const { here, apart } = atHand()

  test('what comes before the first answer is small', () => {
    // Scripts that the page and its worker begin with; all else comes by itself, behind the first answer.
    const begin = (name: string): readonly string[] => [
      name,
      ...[...readFileSync(join(here().place, name), 'utf8').matchAll(/(?:from|import)\s*"\.\/([\w-]+\.js)"/g)].map(
        each => each[1]!,
      ),
    ]
    const names = new Set([...begin('page.js'), ...begin('worker.js')])
    const bytes = [...names].reduce((sum, name) => sum + gzipSync(readFileSync(join(here().place, name))).length, 0)
    expect(bytes).toBeLessThan(250_000)
  })

  test('from a disk it has the files that its sheet names, and nothing of them is markup', async () => {
    const files = {
      'data/drag.csv': 'mach,drag\n0,0.42\n5,0.42\n',
      'some.csv': 'dry mass [kg],label\n160,</script><img src=x onerror=document.title=1>\n165,<b>bold</b>\n',
      ['__proto__']: 'not a prototype',
    }
    const table = heron.replace(/fact {2}drag coefficient .*/, 'table drag coefficient of mach from "data/drag.csv"')
    const text = `${table}\nvariants from "some.csv"\n`
    const file = join(here().place, 'files.html')
    writeFileSync(file, singlePage({ name: 'own.loft', text, files }, here().place))
    const { page, complaints } = await apart()
    await page.goto(pathToFileURL(file).href)
    await answered(page)
    // A table of the one number is the number.
    await expectLarge(page, ['92 %', '61 %', '276 kg'])
    const rows = page.locator('section[aria-labelledby="variants"] tbody tr')
    expect(await rows.count()).toBe(2)
    expect(await rows.nth(0).textContent()).toContain('</script><img src=x')
    expect(await page.locator('section[aria-labelledby="files"]').textContent()).toMatch(
      /data\/drag.csv: here.*some.csv: here/,
    )
    expect(await page.locator('main img, main b:text("bold")').count()).toBe(0)
    expect(await page.title()).not.toBe('1')
    expect(complaints).toEqual([])
  })

  test('as one file it runs from a disk, with its sheet inside', async () => {
    const file = join(here().place, 'lesson.html')
    writeFileSync(
      file,
      singlePage({ name: 'own.loft', text: heron.replace('Heron 3', 'Own </script> lesson') }, here().place),
    )
    const { page, complaints } = await apart()
    const asked: string[] = []
    page.on('request', request => asked.push(request.url()))
    await page.goto(pathToFileURL(file).href)
    await answered(page)
    expect(await page.textContent('h1')).toContain('Own </script> lesson')
    await expectLarge(page, ['92 %', '61 %'])
    expect(asked.filter(url => !/^(blob|data):/.test(url))).toHaveLength(1)
    expect(complaints).toEqual([])
  })
})
