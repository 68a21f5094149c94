/** A linear form over variables numbered from 0: the sum of `by[k] · x[at[k]]`. A variable stands in it once at most. */
export interface Form {
  readonly at: readonly number[]
  readonly by: readonly number[]
}

/** A relation that must hold: low ≤ form ≤ high. Equal ends make it an equation, an infinite end leaves that side open. */
export interface LinearRow extends Form {
  readonly low: number
  readonly high: number
}

/** A variable's bounds, and a usual size of its values where they are infinite: it is scaled by it. */
export interface LinearVariable {
  readonly low: number
  readonly high: number
  readonly nominal: number
}

export interface LinearSystem {
  readonly variables: readonly LinearVariable[]
  readonly rows: readonly LinearRow[]
}

/** The value of a form at a point. */
export function formValue({ at, by }: Form, x: ArrayLike<number>): number {
  let sum = 0
  for (let k = 0; k < at.length; k++) sum += by[k]! * x[at[k]!]!
  return sum
}

/** Throws where a system is malformed: numbers that are none, variables that are not there. Infinite bounds are allowed. */
export function checkSystem({ variables, rows }: LinearSystem): void {
  for (const { low, high, nominal } of variables) {
    if (Number.isNaN(low) || Number.isNaN(high) || !(nominal > 0 && Number.isFinite(nominal))) {
      throw new Error(`a variable from ${low} to ${high} of size ${nominal}`)
    }
  }
  for (const row of rows) {
    if (Number.isNaN(row.low) || Number.isNaN(row.high)) throw new Error(`a row from ${row.low} to ${row.high}`)
    checkForm(row, variables.length)
  }
}

export function checkForm({ at, by }: Form, variables: number): void {
  if (at.length !== by.length || new Set(at).size !== at.length) throw new Error('a form whose parts do not fit')
  if (!at.every(j => Number.isInteger(j) && j >= 0 && j < variables)) throw new Error('a form over unknown variables')
  if (!by.every(Number.isFinite)) throw new Error(`a form with coefficients ${by.join(' ')}`)
}
