import axe from 'axe-core'
import type { Page } from 'playwright-core'

/** The rules of accessibility that a page breaks as it stands, each with where. */
export async function violations(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe.source)
  return page.evaluate(async () => {
    const { axe } = window as unknown as { axe: typeof import('axe-core') }
    const { violations } = await axe.run(document, { resultTypes: ['violations'] })
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map(node => node.html.slice(0, 120)).join(' | ')}`)
  })
}
