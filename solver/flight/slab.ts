/** Numbers in one slab [8 bytes each]. */
const SLAB = 2048

let slab = new ArrayBuffer(8 * SLAB)
let taken = 0

const NONE = new Float64Array(0)

/**
 * A new array of `count` numbers, all `value`. A typed array of its own costs some 2 µs beyond 64 bytes, for memory outside the heap,
 * which is a fifth of a flight; a view of a larger slab costs a twentieth of that. The slab lives as long as any of its arrays.
 */
export function takeNumbers(count: number, value: number): Float64Array {
  if (count === 0) return NONE
  if (taken + count > SLAB) {
    if (count > SLAB) return new Float64Array(count).fill(value)
    slab = new ArrayBuffer(8 * SLAB)
    taken = 0
  }
  const numbers = new Float64Array(slab, 8 * taken, count)
  taken += count
  return numbers.fill(value)
}
