import { LETTERING, PAPER, WORDS } from './theme.ts'

const SIZES = { A4: { width: 210, height: 297 }, letter: { width: 215.9, height: 279.4 } } as const
const MARGIN = 12
/** Height of a small letter over the size that is asked for: where only a font of large letters is at hand it is set smaller, and lines break where they would else. */
const WORDS_HEIGHT = 0.46
const LETTERING_HEIGHT = 0.5

/** The style of a flight card on its paper; rows are lower where there are many targets, and on Letter; all is smaller on a crowded card. [mm] */
export function cardStyle(paper: 'A4' | 'letter', targets: number, crowded: boolean): string {
  const { width, height } = SIZES[paper]
  const share = crowded ? 0.78 : 1
  const row =
    share * Math.min(paper === 'A4' ? 20 : 17.5, (paper === 'A4' ? 92 : 80) / Math.max(1, Math.min(6, targets)))
  return `
@page { size: ${width}mm ${height}mm; margin: 0 }
* { box-sizing: border-box; margin: 0; padding: 0 }
body { background: #fff; color: ${PAPER.ink}; font: ${crowded ? '9pt/1.2' : '10.5pt/1.3'} ${WORDS}; font-size-adjust: ${WORDS_HEIGHT}; font-variant-numeric: lining-nums tabular-nums }
main { width: ${width}mm; height: ${height - 0.5}mm; padding: ${MARGIN}mm; overflow: hidden; display: flex; flex-direction: column; gap: ${crowded ? 1.6 : 2.6}mm; margin: 0 auto }
header { border-top: 1.2mm solid; display: flex; justify-content: space-between; align-items: baseline; padding-top: 2mm; border-bottom: .5mm solid; padding-bottom: 1.5mm }
h1 { font-size: 18pt; font-weight: 400; overflow: hidden; white-space: nowrap; text-overflow: ellipsis }
h2 { font-size: 12pt; font-weight: 400 }
.kind { font-style: italic; font-size: 13pt; white-space: nowrap; padding-left: 4mm }
.settings { display: flex; flex-wrap: wrap; border-bottom: .5mm solid; padding-bottom: 2mm }
.setting, .expected { flex: 1 1 0; min-width: 34mm; padding: 0 4mm 0 0 }
.setting + .setting, .expected { border-left: .3mm solid; padding-left: 4mm }
.name { font-size: 12pt }
.large, .middle { font: 700 50pt/1.05 ${LETTERING}; white-space: nowrap }
.middle { font-size: ${crowded ? 19 : 26}pt }
.large small, .middle small { font-size: 50%; font-weight: 400 }
.under, table, .state, .when ol, .measured, footer { font-family: ${LETTERING}; font-size-adjust: ${LETTERING_HEIGHT}; font-size: ${crowded ? 8.5 : 9.5}pt }
table { border-collapse: collapse; width: 100% }
th { text-align: left; font-weight: 400; padding-right: 3mm }
th small { color: ${PAPER.pencil}; font-size: 8pt }
td { font-weight: 700; text-align: right; white-space: nowrap }
.verdict { font-size: 13pt; border-bottom: .25mm solid; padding-bottom: 2mm }
.target { display: flex; align-items: center; height: ${row.toFixed(2)}mm; border-bottom: .15mm solid ${PAPER.hair}; gap: 3mm }
.what { width: 40mm; overflow: hidden }
.what .name { line-height: 1.15 }
.level { color: ${PAPER.pencil}; font-size: 9pt }
.scale { flex: 1; height: 100%; min-width: 0 }
.state { width: 50mm; font-size: 9pt }
.state p { color: ${PAPER.pencil} }
.limit { color: ${PAPER.limit} }
.short { color: ${PAPER.short} }
.rest { font-size: 9pt; padding-top: 1mm }
.when .line { display: block; width: 100%; height: 5mm; overflow: visible }
.when ol { list-style: none; display: flex; flex-wrap: wrap; gap: 1mm 5mm; padding-top: 2.4mm }
.when small { display: block; color: ${PAPER.pencil} }
.columns { display: flex; gap: 8mm; border-top: .25mm solid; padding-top: 2mm }
.columns > div { flex: 1 1 0; min-width: 0 }
ul, ol.mends { padding-left: 4mm; font-size: 9.5pt }
.known td, .known th { border-bottom: .15mm solid ${PAPER.hair}; font-size: 9pt }
.measured { border: .4mm solid; padding: 2.5mm }
.blanks { display: flex; flex-wrap: wrap; gap: 2.4mm 5mm }
.blanks p { flex: 1 1 40%; display: flex; gap: 2mm; align-items: flex-end }
.measured i { flex: 1; border-bottom: .25mm solid; min-width: 12mm; height: 4.4mm }
.wide { display: flex; gap: 2mm; padding-top: 2.4mm }
.notforflight { font: 700 44pt/1.1 ${LETTERING}; color: ${PAPER.short} }
footer { color: ${PAPER.pencil}; margin-top: auto; font-size: 8.5pt }
@media screen { body { background: ${PAPER.ground} } main { background: #fff; margin: 8mm auto; border: .2mm solid ${PAPER.hair} } }
`
}
