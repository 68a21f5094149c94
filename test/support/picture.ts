import { widthOf } from '../../grammar/width.ts'
import type { Ink, Line } from '../../sheets/report/marked.ts'

/** Inks on slate, as the terminal's picture is drawn. */
const INKS: Readonly<Record<Ink, string>> = {
  plain: 'fill="#EEECE4"',
  strong: 'fill="#EEECE4" font-weight="bold"',
  pencil: 'fill="#A9B2B6"',
  limit: 'fill="#E6B35A" font-weight="bold"',
  short: 'fill="#F391B9" font-weight="bold"',
  room: 'fill="#7FC9BE"',
  hatch: 'fill="#A9B2B6"',
}

const COLUMN = 9.03
const ROW = 21
const EDGE = 24

/** The lines of a report as an SVG picture of a terminal, every piece at its own column. */
export function picture(lines: readonly Line[], columns = 80): string {
  const width = Math.round(columns * COLUMN + 2 * EDGE)
  const height = lines.length * ROW + 2 * EDGE
  const rows = lines.map((line, row) => {
    let column = 0
    const pieces = line.map(({ text, ink }) => {
      const at = column
      column += widthOf(text)
      if (text.trim() === '') return ''
      const x = (EDGE + at * COLUMN).toFixed(2)
      const length = (widthOf(text) * COLUMN).toFixed(2)
      return `<text x="${x}" y="${EDGE + row * ROW + 15}" textLength="${length}" lengthAdjust="spacingAndGlyphs" xml:space="preserve" ${INKS[ink]}>${escaped(text)}</text>`
    })
    return pieces.join('')
  })
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="ui-monospace, 'Cascadia Mono', 'SF Mono', 'DejaVu Sans Mono', 'Liberation Mono', monospace" font-size="15" role="img">
<title>The Heron sheet solved in a terminal: settings, targets with their room, the flight, cautions</title>
<rect width="100%" height="100%" fill="#1E2529"/>
${rows.filter(row => row !== '').join('\n')}
</svg>
`
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')
}
