import { setApart } from '../text/right-to-left.ts'
import { plainTyped } from '../text/typed.ts'

/** The reader's signs for tens of thousands and for decimals, and a true minus. */
const parts = new Intl.NumberFormat(undefined).formatToParts(-12345.6)
const sign = (type: Intl.NumberFormatPartTypes, plain: string): string =>
  parts.find(part => part.type === type)?.value ?? plain
const GROUP = sign('group', ',')
const DECIMAL = sign('decimal', '.')

/** What the reader typed for a value, in the plain form that the text takes; a comment would hide what stands behind it in the line. */
export function plainly(words: string): string {
  return plainTyped(words.replace(/#.*$/, '').trim(), { group: GROUP, decimal: DECIMAL })
}

/** Writes the numbers of what was drawn or set elsewhere with the reader's signs. */
export function inReadersSigns(root: ParentNode, written: string): void {
  if (GROUP === ',' && DECIMAL === '.') return
  for (const element of root.querySelectorAll(written))
    for (const node of element.childNodes)
      if (node.nodeType === Node.TEXT_NODE) node.nodeValue = shown(node.nodeValue ?? '')
}

/** A text with its numbers as the reader writes them, each kept on one line with its unit. Never for the sheet's own text. */
export function shown(text: string): string {
  const known = told.get(text)
  if (known !== undefined) return known
  if (told.size > 4000) told.clear()
  const words = localized(text)
  told.set(text, words)
  return words
}

/** Most words on the page are the same from one answer to the next. */
const told = new Map<string, string>()

function localized(text: string): string {
  return setApart(text)
    .replace(/(?<![\w.,])[-−]?\d(?:[\d,]*\d)?(?:\.\d+)?(?![\w])/g, number => local(number))
    .replace(/(\d) (?=[%°\p{L}])/gu, '$1\u00a0')
}

function local(number: string): string {
  const [whole = '', decimals] = number.replaceAll(',', '').replace('-', '−').split('.')
  const digits = whole.replace('−', '')
  const grouped = digits.length > 4 || number.includes(',') ? digits.replace(/\B(?=(\d{3})+$)/g, GROUP) : digits
  return `${whole.startsWith('−') ? '−' : ''}${grouped}${decimals === undefined ? '' : DECIMAL + decimals}`
}
