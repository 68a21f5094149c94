/** The signs that a reader puts between thousands and before decimals. */
export interface Signs {
  readonly group: string
  readonly decimal: string
}

const UNIT = String.raw`(?:\s*[^\s\d,;()±+-][^\s,;()]*)?`

/**
 * What a reader typed for a value, as the text takes it: numbers with the reader's own signs become plain ones. Only where it is a number with
 * its unit, with or without a tolerance, since in an expression a comma parts two values. A point alone is the text's own.
 */
export function plainTyped(words: string, { group, decimal }: Signs): string {
  const [apart, before] = [group, decimal].map(sign => sign.replace(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`))
  const number = String.raw`\d+(?:${apart}\d{3})*(?:${before}\d+)?(?:[eE][-+]?\d+)?`
  const value = `${number}${UNIT}`
  if (!new RegExp(String.raw`^[-+−]?\s*${value}(?:\s*(?:±|\+/-)\s*${value})?$`, 'u').test(words)) return words
  return words.replace(new RegExp(number, 'gu'), each => {
    const [whole = '', decimals] = each.split(decimal)
    if (decimals === undefined && group === '.') return each
    return `${whole.replaceAll(group, '')}${decimals === undefined ? '' : `.${decimals}`}`
  })
}
