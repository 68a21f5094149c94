/** Gradients with this little left over, as a share of what had to be balanced, are balanced. */
const BALANCED = 2e-3
const MOST_ROUNDS = 200
/** What may be left over beside what the freest multipliers leave, as a share of the goal. */
const AS_GOOD = 1e-7
/** Halvings on the way to the least multipliers. */
const HALVINGS = 30

/**
 * Numbers λ ≥ 0, one a column, with Σ λ·column nearest to `goal` in the sum of squares, and whether that meets it.
 * By the active set method of Lawson and Hanson (Solving Least Squares Problems, 1974, chapter 23).
 */
export function multipliers(
  columns: readonly Float64Array[],
  goal: Float64Array,
): { readonly of: Float64Array; readonly balanced: boolean } {
  const of = new Float64Array(columns.length)
  const passive = new Set<number>()
  const size = norm(goal)
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const rest = residual(columns, of, goal)
    if (norm(rest) <= 1e-13 * size) break
    let most = 1e-11 * size
    let next = -1
    columns.forEach((column, j) => {
      const gain = dot(column, rest) / (norm(column) || 1)
      if (passive.has(j) || gain <= most) return
      most = gain
      next = j
    })
    if (next === -1) break
    passive.add(next)
    if (!inside(columns, goal, passive, of, next)) break
  }
  return { of, balanced: norm(residual(columns, of, goal)) <= BALANCED * size }
}

/**
 * The least that the multipliers of a group of columns can add up to while the goal stays as well balanced. Where limits lean on one another
 * (the same one twice, three at a corner of two levers) `of` shares the load out in one way of many, but a limit that moves alone lets go only
 * what no other can hold.
 */
export function leastTogether(
  columns: readonly Float64Array[],
  goal: Float64Array,
  of: Float64Array,
  group: readonly number[],
): number {
  const total = group.reduce((sum, j) => sum + of[j]!, 0)
  if (total === 0) return 0
  const size = norm(goal)
  // One more row says what the group adds up to, in numbers of the size of the goal's.
  const weight = size / total
  const counted = columns.map((column, j) => Float64Array.of(...column, group.includes(j) ? weight : 0))
  const left = norm(residual(columns, of, goal)) + AS_GOOD * size
  const holds = (sum: number): boolean => {
    const wanted = Float64Array.of(...goal, weight * sum)
    return norm(residual(counted, multipliers(counted, wanted).of, wanted)) <= left
  }
  if (!holds(total * (1 - 1e-3))) return total
  if (holds(0)) return 0
  let [below, above] = [0, total]
  for (let k = 0; k < HALVINGS; k++) {
    const middle = (below + above) / 2
    if (holds(middle)) above = middle
    else below = middle
  }
  return above
}

/** Moves to the least squares of the passive columns, dropping those that would go below zero on the way. False: the newest one is of no use. */
function inside(
  columns: readonly Float64Array[],
  goal: Float64Array,
  passive: Set<number>,
  of: Float64Array,
  newest: number,
): boolean {
  for (;;) {
    const places = [...passive]
    const to = leastSquares(
      places.map(j => columns[j]!),
      goal,
    )
    if (!to || (of[newest] === 0 && to[places.indexOf(newest)]! <= 0)) {
      passive.delete(newest)
      return false
    }
    const below = places.filter((_, i) => to[i]! <= 0)
    if (below.length === 0) {
      of.fill(0)
      places.forEach((j, i) => {
        of[j] = to[i]!
      })
      return true
    }
    let share = 1
    places.forEach((j, i) => {
      if (to[i]! <= 0) share = Math.min(share, of[j]! / (of[j]! - to[i]!))
    })
    places.forEach((j, i) => {
      of[j] = Math.max(0, of[j]! + share * (to[i]! - of[j]!))
      if (to[i]! <= 0 && of[j]! <= 1e-15) {
        of[j] = 0
        passive.delete(j)
      }
    })
  }
}

/** The least squares of some columns by orthogonalising them; null where one hangs on the others. */
function leastSquares(columns: readonly Float64Array[], goal: Float64Array): number[] | null {
  const basis: Float64Array[] = []
  const upper: number[][] = []
  for (const column of columns) {
    const left = column.slice()
    const along = basis.map(each => {
      const part = dot(each, left)
      each.forEach((value, i) => {
        left[i] = left[i]! - part * value
      })
      return part
    })
    const length = norm(left)
    if (length <= 1e-9 * norm(column)) return null
    basis.push(left.map(value => value / length))
    upper.push([...along, length])
  }
  const rest = goal.slice()
  const sides = basis.map(each => {
    const part = dot(each, rest)
    each.forEach((value, i) => {
      rest[i] = rest[i]! - part * value
    })
    return part
  })
  const found = new Array<number>(columns.length).fill(0)
  for (let j = columns.length - 1; j >= 0; j--) {
    let sum = sides[j]!
    for (let k = j + 1; k < columns.length; k++) sum -= upper[k]![j]! * found[k]!
    found[j] = sum / upper[j]![j]!
  }
  return found
}

function residual(columns: readonly Float64Array[], of: Float64Array, goal: Float64Array): Float64Array {
  const rest = goal.slice()
  columns.forEach((column, j) => {
    for (let i = 0; i < rest.length; i++) rest[i] = rest[i]! - of[j]! * column[i]!
  })
  return rest
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!
  return sum
}

function norm(a: Float64Array): number {
  return Math.hypot(...a)
}
