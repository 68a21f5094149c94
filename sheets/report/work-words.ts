import { formatNumber } from '../../grammar/units/choose.ts'
import type { Answer } from '../answer.ts'

/** How the answer was come by: "searched, 33 flights, 7 ms", "searched: all 5,041 steps flown or ruled out; 96 ms". */
export function workWords(answer: Answer): string {
  const { explaining } = answer.work
  const flights = answer.work.flights + (explaining?.flights ?? 0)
  const milliseconds = answer.work.milliseconds + (explaining?.milliseconds ?? 0)
  const how = answer.outcome === 'conflict' ? answer.conflict?.evidence : answer.optimum
  const flown = Math.round(flights)
  const parts = [
    how ?? '',
    flights > 0 ? `${formatNumber(flown, 3)} ${flown === 1 ? 'flight' : 'flights'}` : '',
    timeWords(milliseconds),
  ]
  const [first, ...rest] = parts.filter(each => each !== '')
  const searched = answer.outcome === 'conflict' ? coveredWords(answer) : ''
  return searched === '' ? [first, ...rest].join(', ') : `${first}: ${[searched, rest.join(', ')].join('; ')}`
}

/** How finely a searched conflict was looked for. */
function coveredWords(answer: Answer): string {
  const set = answer.conflict?.sets[0]
  if (set?.evidence !== 'searched') return ''
  if (set.every) return 'every setting was flown or ruled out'
  const tried = (answer.tried ?? '').replace(/\.$/, '')
  const gap = `no place in the ranges is farther from a setting tried than ${formatNumber(100 * set.gap, 2)} % of a range`
  return [tried, gap].filter(each => each !== '').join('; ')
}

function timeWords(milliseconds: number): string {
  if (!Number.isFinite(milliseconds)) return ''
  return milliseconds < 1000 ? `${formatNumber(milliseconds, 2)} ms` : `${formatNumber(milliseconds / 1000, 2)} s`
}
