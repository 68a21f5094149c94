/**
 * One JSON document. JSON has no infinite number and no NaN: the first is the word "infinity", the second null. Typed
 * arrays are lists.
 */
export function jsonText(value: unknown, spaces = 2): string {
  return `${JSON.stringify(value, encoded, spaces)}\n`
}

function encoded(_key: string, value: unknown): unknown {
  if (value instanceof Float64Array) return Array.from(value)
  if (value instanceof Float64Array) return Array.from(value)
  if (typeof value !== 'number' || Number.isFinite(value)) return value
  return Number.isNaN(value) ? null : value > 0 ? 'infinity' : '-infinity'
}
