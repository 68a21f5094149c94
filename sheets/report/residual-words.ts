import { formatNumber } from '../../grammar/units/format.ts'
import type { Answer } from '../answer.ts'

/**
 * Where a sheet reconciles with what was measured (shoulds or coulds `equal to X ± T`): how far each value lies from its measurement, in units of its
 * error, and the sum of the squares, which the settings make least; null where there are not two of them.
 */
export function residualWords({ targets }: Answer): string | null {
  const residuals = targets.flatMap(({ text, level, si, limit }) => {
    const [low, high] = limit
    if (level === 'must' || !/ equal to .* ± /.test(text)) return []
    if (typeof si !== 'number' || typeof low !== 'number' || typeof high !== 'number') return []
    return [{ subject: text.split(' equal to ')[0]!, value: (si - (low + high) / 2) / ((high - low) / 2) }]
  })
  if (residuals.length < 2) return null
  const told = residuals.map(({ subject, value }) => `${subject} ${value > 0 ? '+' : ''}${shown(value)}`)
  const squares = residuals.reduce((sum, { value }) => sum + value * value, 0)
  return `Residuals, in units of their errors: ${told.join(', ')}. The sum of their squares is ${shown(squares)}.`
}

/** To a hundredth where that tells something, else to three figures. */
function shown(value: number): string {
  return Math.abs(value) < 0.005 ? '0' : formatNumber(value, 3, Math.abs(value) < 10 ? { decimals: 2 } : {})
}
