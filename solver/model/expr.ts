/** Names of quantities inside the solver: their place in `Model.quantities`. */
export type Id = number

/** Functions of one argument that an expression may call. Angles in rad, everything in SI. */
export type Unary = 'neg' | 'sqrt' | 'exp' | 'ln' | 'log10' | 'sin' | 'cos' | 'tan' | 'asin' | 'acos' | 'atan' | 'abs'
export type Binary = 'add' | 'sub' | 'mul' | 'div' | 'pow' | 'min' | 'max'
export type Order = 'lt' | 'le' | 'gt' | 'ge' | 'eq'
/** What is asked of a body's air at an altitude [m]: Pa, kg/m3, K, m/s, m/s2. */
export type AirProperty = 'pressure' | 'density' | 'temperature' | 'sound speed' | 'gravity'

/**
 * A piecewise cubic with one argument: on piece k (from `knots[k]` to `knots[k+1]`) the value is
 * c0 + w (c1 + w (c2 + w c3)) with w = x − knots[k] and c at `coefficients[4k…4k+3]`.
 * Held constant below the first and above the last knot. SI.
 */
export interface Curve {
  readonly knots: Float64Array
  readonly coefficients: Float64Array
}

/** An expression over quantities, in SI. Plain data: compared, walked and compiled, never evaluated by itself. */
export type Expr =
  | { readonly op: 'const'; readonly value: number }
  | { readonly op: 'ref'; readonly id: Id }
  /** The block's own argument: mach in a drag coefficient. */
  | { readonly op: 'local' }
  | { readonly op: Unary; readonly a: Expr }
  | { readonly op: Binary; readonly a: Expr; readonly b: Expr }
  | { readonly op: 'if'; readonly test: Test; readonly yes: Expr; readonly no: Expr }
  | { readonly op: 'curve'; readonly curve: Curve; readonly a: Expr }
  /** `body` is a place in `Model.bodies`; `a` the altitude. */
  | { readonly op: 'air'; readonly property: AirProperty; readonly body: number; readonly a: Expr }

export type Test =
  | { readonly op: Order; readonly a: Expr; readonly b: Expr }
  | { readonly op: 'and'; readonly a: Test; readonly b: Test }
  | { readonly op: 'or'; readonly a: Test; readonly b: Test }
  | { readonly op: 'not'; readonly a: Test }
