import { formatNumber } from '../../grammar/units/choose.ts'
import type { Answer } from '../answer.ts'

/** How the answer was come by: "searched, 33 flights, 7 ms", "searched: all 5,041 steps flown or ruled out; 96 ms". */
export function workWords(answer: Answer): string {
  const { flights, milliseconds } = answer.work
  const how = answer.outcome === 'conflict' ? answer.conflict?.evidence : answer.optimum
  const flown = Math.round(flights)
  const parts = [
    how ?? '',
    flights > 0 ? `${formatNumber(flown, 3)} ${flown === 1 ? 'flight' : 'flights'}` : '',
    timeWords(milliseconds),
  ]
  const [first, ...rest] = parts.filter(each => each !== '')
  if (!answer.tried || answer.outcome !== 'conflict') return [first, ...rest].join(', ')
  return `${first}: ${[answer.tried.replace(/\.$/, ''), rest.join(', ')].join('; ')}`
}

function timeWords(milliseconds: number): string {
  if (!Number.isFinite(milliseconds)) return ''
  return milliseconds < 1000 ? `${formatNumber(milliseconds, 2)} ms` : `${formatNumber(milliseconds / 1000, 2)} s`
}
