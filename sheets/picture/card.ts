import { formatNumber, formatQuantity } from '../../grammar/units/choose.ts'
import type { Answer, FlightAnswer, MendAnswer, QuantityAnswer, TargetAnswer } from '../answer.ts'
import { CAUTIONS } from '../report/cautions.ts'
import { loadOf, takenOut } from '../report/load.ts'
import { asNumber } from '../report/number.ts'
import { leversOf } from '../report/settings.ts'
import { targetWords, unitNamed } from '../report/target-words.ts'
import { capital, cutWords, verdictOf } from '../report/verdict.ts'
import { cardStyle } from './card-style.ts'
import { scalePicture } from './scale-picture.ts'
import { element, escaped } from './svg.ts'
import { PAPER } from './theme.ts'

/** What a flight card is made from. */
export interface CardSubject {
  readonly answer: Answer
  /** The flight at these settings, null where the sheet has none. */
  readonly flight: FlightAnswer | null
  /** Which flight that is; told where the sheet has several. */
  readonly name?: string | undefined
  readonly file: string
  readonly paper: 'A4' | 'letter'
}

/** Targets that are drawn; the others become a line of words. */
const MOST_DRAWN = 6
const MOST_FACTS = 14
const FEW_FACTS = 8
const MOST_CHANGES = 5

/** Many levers or targets, so that everything has to be smaller. */
function isCrowded({ quantities, targets }: Answer): boolean {
  return leversOf(quantities).length > 3 || targets.length > MOST_DRAWN
}

/** A card's style, and what stands in its body: for a page that shows it inside itself. No style stands in the body. */
export function cardParts(view: CardSubject): { readonly style: string; readonly body: string } {
  const { answer, paper } = view
  const parts = answer.outcome === 'solved' ? solvedParts(view) : conflictParts(answer)
  return {
    style: cardStyle(paper, answer.targets.length, isCrowded(answer)),
    body: html(
      'main',
      '',
      html(
        'header',
        '',
        html('h1', '', escaped(answer.sheet)),
        html('p', 'kind', escaped(several(view) ? `flight card, ${view.name}` : 'flight card')),
      ),
      ...parts,
      foot(view),
    ),
  }
}

/** One printable page as a whole HTML document; no text of a sheet is ever markup. */
export function cardPage(view: CardSubject): string {
  const { answer } = view
  const { style, body } = cardParts(view)
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width">',
    element('title', {}, escaped(`${answer.sheet}: flight card`)),
    `<style>${style}</style>`,
    '</head>',
    '<body>',
    body,
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

function html(name: string, style: string, ...children: readonly string[]): string {
  return `<${name}${style === '' ? '' : ` class="${style}"`}>${children.join('')}</${name}>`
}

function solvedParts(view: CardSubject): readonly string[] {
  const { answer } = view
  const { verdict, more } = verdictOf(answer)
  return [
    html('section', 'settings', ...settings(answer), expected(view)),
    html(
      'p',
      'verdict',
      html('b', '', escaped(verdict.replace(/^Solved: /, '').replace(/^./, letter => letter.toUpperCase()))),
      ` ${escaped(more)}`,
    ),
    html('section', 'targets', ...targetRows(answer)),
    ...timeline(view.flight),
    html('section', 'columns', changes(answer), known(answer)),
    html('section', 'columns', cautions(), measured(view)),
  ]
}

/** The settings, as large as may be. */
function settings({ quantities }: Answer): readonly string[] {
  const levers = leversOf(quantities)
  if (levers.length === 0) return [html('div', 'setting', html('p', '', 'Nothing to set: this sheet has no levers.'))]
  const large = levers.length <= 2 ? 'large' : 'middle'
  return levers.map(([name, lever]) => {
    const load = loadOf(lever, quantities)
    const big = load ? load.made[1] : lever
    const [number, unit] = parted(big.text)
    const under = load
      ? `<b>${escaped(lever.text)}</b> of ${escaped(load.full[1].text)}: take out <b>${escaped(takenOut(load))}</b>`
      : escaped(lever.description ?? '')
    return html(
      'div',
      'setting',
      html('p', 'name', escaped(load ? `load, ${name}` : name)),
      html('p', large, escaped(number), ' ', html('small', '', escaped(unit))),
      html('p', 'under', under),
    )
  })
}

function parted(text: string): readonly [string, string] {
  const at = text.indexOf(' ')
  return at === -1 ? [text, ''] : [text.slice(0, at), text.slice(at + 1)]
}

const GLANCE = ['apoapsis', 'burnout speed', 'peak g', 'max q', 'touchdown speed', 'entry g']

function several({ answer, name }: CardSubject): boolean {
  return name !== undefined && Object.keys(answer.flights).length > 1
}

/** The figures of the card's flight that the trade asks for first, as far as they have a value. */
function glanced(view: CardSubject): readonly (readonly [string, QuantityAnswer])[] {
  const { quantities } = view.answer
  return GLANCE.flatMap(name => {
    const figure = quantities[several(view) ? `${name} of ${view.name}` : name]
    return figure && figure.si !== null ? [[name, figure] as const] : []
  }).slice(0, 4)
}

/** The expected figures at a glance, then what is aimed at. */
function expected(view: CardSubject): string {
  const figures = glanced(view).map(([name, { text }]) => [name, text] as const)
  const { aims } = view.answer
  const told = aims.flatMap(aim =>
    aim.si === null ? [] : [[aim.text, formatQuantity(asNumber(aim.si), unitNamed(aim.unit ?? ''), 4)] as const],
  )
  const rows = [...figures, ...told].slice(0, 5)
  return html(
    'div',
    'expected',
    html('p', 'name', 'expected'),
    html(
      'table',
      '',
      ...rows.map(([name, text]) => html('tr', '', html('th', '', escaped(name)), html('td', '', escaped(text)))),
    ),
  )
}

/** Targets drawn, those with least room first chosen; the rest in words. */
function targetRows({ targets, quantities }: Answer): readonly string[] {
  const room = (target: TargetAnswer): number => asNumber(target.margin)
  const drawn = new Set([...targets].sort((a, b) => room(a) - room(b)).slice(0, MOST_DRAWN))
  const rows = targets.flatMap((target, family) => {
    if (!drawn.has(target)) return []
    const words = targetWords(target, quantities)
    const state = html(
      'b',
      words.state === 'at its limit' ? 'limit' : words.state === 'short' ? 'short' : '',
      escaped(words.words),
    )
    const price = target.price && target.price.si > 0 ? html('p', '', escaped(`${capital(target.price.text)}.`)) : ''
    return [
      html(
        'div',
        'target',
        html('div', 'what', html('p', 'level', target.level), html('p', 'name', escaped(words.subject))),
        scalePicture(target, quantities, family, { ...PAPER, ground: '#FFFFFF' }),
        html('div', 'state', state, price),
      ),
    ]
  })
  const rest = targets
    .filter(target => !drawn.has(target))
    .map(target => `${target.text}: ${targetWords(target, quantities).words}`)
  return rest.length === 0 ? rows : [...rows, html('p', 'rest', escaped(`Also: ${rest.join('; ')}.`))]
}

/** What happens when: the events on a line of time, the burn thick. */
function timeline(flight: FlightAnswer | null): readonly string[] {
  const events = (flight?.events ?? []).filter(event => event.name !== 'ignition')
  const end = events.at(-1)?.time ?? 0
  if (!(end > 0)) return []
  const burnt = Math.max(0, ...events.filter(event => event.name.startsWith('burnout')).map(event => event.time))
  const place = (time: number): string => `${((100 * time) / end).toFixed(2)}%`
  const mark = (time: number): string =>
    element('line', { x1: place(time), x2: place(time), y1: '30%', y2: '100%', 'stroke-width': 2 })
  const cells = events.map(({ name, time, altitude }) =>
    html(
      'li',
      '',
      html('b', '', escaped(name)),
      ` ${formatNumber(time, 3)} s`,
      html('small', '', escaped(formatQuantity(altitude, unitNamed(altitude < 1000 ? 'm' : 'km'), 3))),
    ),
  )
  return [
    html(
      'section',
      'when',
      html('h2', '', 'What happens when'),
      element(
        'svg',
        { class: 'line', stroke: PAPER.ink, 'aria-hidden': 'true' },
        element('line', { x1: 0, x2: '100%', y1: '65%', y2: '65%', 'stroke-width': 1.5 }),
        element('line', { x1: 0, x2: place(burnt), y1: '65%', y2: '65%', 'stroke-width': 5 }),
        ...events.map(({ time }) => mark(time)),
      ),
      html('ol', '', ...cells),
    ),
  ]
}

/** What would change the decision: prices, the next settings, the fact that matters most. */
function changes(answer: Answer): string {
  const prices = answer.targets.flatMap(({ price }) => (price && price.si > 0 ? [price] : []))
  const next = prices.flatMap(price => {
    if (!price.next) return []
    const told = Object.entries(price.next.settings).map(([name, { text }]) => `${name} ${text}`)
    return [`With ${price.next.text} the settings would be ${told.join(', ')}.`]
  })
  const said = [
    ...prices.map(price => `${capital(price.text)}.`),
    ...next,
    ...(answer.decides ? [answer.decides.text] : []),
  ]
  const list = said.length === 0 ? ['No limit costs anything: more room at one would save nothing.'] : said
  return html(
    'div',
    '',
    html('h2', '', 'What would change this'),
    html('ul', '', ...list.slice(0, MOST_CHANGES).map(each => html('li', '', escaped(each)))),
  )
}

/** Facts taken as known, with where they are from as their comments say. */
function known(answer: Answer): string {
  const { quantities } = answer
  const facts = Object.entries(quantities).filter(([, quantity]) => quantity.role === 'fact')
  const rows = facts.slice(0, isCrowded(answer) ? FEW_FACTS : MOST_FACTS).map(([name, fact]) => {
    const error = fact.error === undefined ? '' : ` ± ${formatQuantity(fact.error, unitNamed(fact.unit), 2)}`
    const source = fact.description ? html('small', '', escaped(` ${fact.description}`)) : ''
    return html('tr', '', html('th', '', escaped(name), source), html('td', '', escaped(fact.text + error)))
  })
  const left = facts.length - rows.length
  const more = left > 0 ? html('p', 'level', `and ${left} more in the sheet`) : ''
  return html('div', 'known', html('h2', '', 'Taken as known'), html('table', '', ...rows), more)
}

function cautions(): string {
  return html('div', '', html('h2', '', 'Cautions'), html('p', 'level', escaped(CAUTIONS)))
}

/** Blanks for what was measured afterwards. */
function measured(view: CardSubject): string {
  const levers = leversOf(view.answer.quantities).map(
    ([name, lever]) => `${name}${lever.unit === '' ? '' : `, ${lever.unit}`}`,
  )
  const figures = glanced(view).map(([name, { unit }]) => `${name}, ${unit}`)
  const blanks = [...levers.slice(0, 4), ...figures, 'wind', 'date and time']
  return html(
    'div',
    'measured',
    html('h2', '', 'Measured'),
    html('div', 'blanks', ...blanks.map(each => html('p', '', escaped(each), '<i></i>'))),
    html('p', 'wide', 'checked by<i></i>'),
  )
}

/** A conflict prints no settings: what cannot be met, and what would free it. */
function conflictParts(answer: Answer): readonly string[] {
  const { verdict } = verdictOf(answer)
  const sets = answer.conflict?.sets ?? []
  const cut = cutWords(answer)
  return [
    html('p', 'notforflight', 'not for flight'),
    html('p', 'verdict', html('b', '', escaped(verdict))),
    ...sets.map(set =>
      html(
        'section',
        '',
        html('ul', '', ...[...set.targets, ...set.ranges].map(each => html('li', '', escaped(each)))),
        ...mendsOf(set.mends),
      ),
    ),
    ...(cut === '' ? [] : [html('p', '', escaped(cut))]),
    html('section', 'columns', cautions(), known(answer)),
  ]
}

function mendsOf(mends: readonly MendAnswer[]): readonly string[] {
  if (mends.length === 0) return []
  const lines = mends.map(mend => html('li', '', html('b', '', escaped(mend.text)), ` ${escaped(mend.change)}`))
  return [html('h2', '', 'What would free them, one alone'), html('ol', 'mends', ...lines)]
}

function foot({ answer, file }: CardSubject): string {
  const how = answer.outcome === 'solved' ? answer.optimum : answer.conflict?.evidence
  return html('footer', '', escaped([file, how ?? answer.outcome].join('. ')), '.')
}
