/**
 * The standard air as polynomials, for the integrator: the formulas cost a logarithm and an exponential at every call.
 * Segment k fills `air[20k…]`: start [m], 1 / width [1/m], then six coefficients each of pressure [Pa], density [kg/m3] and
 * 1 / sound speed [s/m] over x from 0 to 1. Against the formulas they keep 1e-9 (tested).
 */
export interface Profile {
  readonly air: Float64Array
  /** The last segment that begins at or below each whole kilometre, counted from `AIR_FLOOR`. */
  readonly byKilometre: Uint16Array
  /** From below: where each layer begins and ends, and its segments. In the last one, the table's, they differ in width. */
  readonly layers: readonly Layer[]
}

export interface Layer {
  readonly bottom: number
  readonly top: number
  readonly first: number
  readonly count: number
}
