import type { FittedCurve } from './node.ts'

/** Gives the value of a function at x in `out[0]` and its slopes by each lane in `out[1…]`. */
export type Sampled = (x: number, out: Float64Array) => void

/** The argument (mach) up to which a fitted curve follows the function; it is constant from there on. */
export const LAST_ARGUMENT = 60

/** Agreement that tells an exact cubic from one that is only near, as a share of the function's size. */
const EXACT = 1e-12
/** What a division is pursued for where the function is no cubic. */
const NEAR = 1e-10
/** A smooth function is never divided this finely: around such stretches lies a jump or a bend. */
const NARROW = 1e-6
/** Where a jump or a bend is placed well enough. */
const LEAST = 1e-9
const MOST_PIECES = 400

/** Interpolation at the four Chebyshev nodes of a stretch, as shares of its width, and the places where it is checked. */
const NODES = [0, 1, 2, 3].map(k => 0.5 - 0.5 * Math.cos((Math.PI * (2 * k + 1)) / 8))
const CHECKS = [0.003, 0.29, 0.5, 0.71, 0.997]
/** Row r gives the coefficient of w^r (w from 0 to 1) from the values at the nodes. */
const INVERSE = invertVandermonde(NODES)

interface Piece {
  readonly from: number
  readonly to: number
  /** Whether the knot at `from` is real. */
  real: boolean
  /** Four coefficients in x − from for the value, then for each lane. */
  readonly coefficients: Float64Array
  /** Largest disagreement found, as a share of the function's size. */
  readonly miss: number
}

/**
 * Turns a function of one argument into cubics from 0 to LAST_ARGUMENT, the same pieces for its value and its slopes.
 * Between `breaks` it is taken for smooth: where it is a cubic one piece serves, elsewhere the stretch that agrees worst is halved
 * until all agree to 1e-10 of the function's size or there are 400 pieces. A jump or bend that `breaks` leaves out is found to 1e-9
 * by those halvings and taken for one of them.
 */
export function fitCurve(sample: Sampled, breaks: readonly number[], lanes: number): FittedCurve {
  const pieces = divided(sample, breaks, lanes)
  const missed = missedBreaks(pieces)
  const out = new Float64Array(lanes + 1)
  return assemble(sample, missed.length > 0 ? divided(sample, [...breaks, ...missed], lanes) : pieces, lanes, out)
}

function divided(sample: Sampled, breaks: readonly number[], lanes: number): Piece[] {
  const inner = [...new Set(breaks)].filter(x => x > 0 && x < LAST_ARGUMENT).sort((a, b) => a - b)
  const ends = [0, ...inner, LAST_ARGUMENT]
  const out = new Float64Array(lanes + 1)
  const pieces: Piece[] = []
  for (let k = 0; k + 1 < ends.length; k++) pieces.push(fitPiece(sample, ends[k]!, ends[k + 1]!, lanes, out, k > 0))
  while (pieces.length < MOST_PIECES) {
    let worst = 0
    for (let k = 1; k < pieces.length; k++) if (pieces[k]!.miss > pieces[worst]!.miss) worst = k
    const { from, to, real, miss } = pieces[worst]!
    if (miss <= (pieces.length > inner.length + 1 ? NEAR : EXACT)) break
    const middle = 0.5 * (from + to)
    const left = fitPiece(sample, from, middle, lanes, out, real)
    pieces.splice(worst, 1, left, fitPiece(sample, middle, to, lanes, out, false))
  }
  return pieces
}

/** One place for each run of narrow pieces: the end of the narrowest. */
function missedBreaks(pieces: readonly Piece[]): number[] {
  const found: number[] = []
  let narrowest: Piece | null = null
  for (const piece of pieces) {
    const width = piece.to - piece.from
    if (width > NARROW * Math.max(1, piece.to)) {
      if (narrowest) found.push(narrowest.to)
      narrowest = null
    } else if (!narrowest || width < narrowest.to - narrowest.from) narrowest = piece
  }
  return narrowest ? [...found, narrowest.to] : found
}

/** A curve that does not hang on its argument. */
export function constantCurve(value: number, slopes: Float64Array): FittedCurve {
  const coefficients = Float64Array.of(value, 0, 0, 0)
  return {
    knots: Float64Array.of(0),
    coefficients,
    slopes: Array.from(slopes, slope => Float64Array.of(slope, 0, 0, 0)),
    real: Uint8Array.of(0),
  }
}

function fitPiece(sample: Sampled, from: number, to: number, lanes: number, out: Float64Array, real: boolean): Piece {
  const width = to - from
  const coefficients = new Float64Array(4 * (lanes + 1))
  const size = new Float64Array(lanes + 1)
  for (let node = 0; node < 4; node++) {
    sample(from + NODES[node]! * width, out)
    for (let lane = 0; lane <= lanes; lane++) {
      size[lane] = Math.max(size[lane]!, Math.abs(out[lane]!))
      for (let r = 0; r < 4; r++) coefficients[4 * lane + r]! += INVERSE[r]![node]! * out[lane]!
    }
  }
  let miss = 0
  // A stretch partly without values is divided where they begin; one quite without is left as it is.
  let none = 0
  for (const share of CHECKS) {
    sample(from + share * width, out)
    if (Number.isNaN(out[0])) none++
    for (let lane = 0; lane <= lanes; lane++) {
      const at = 4 * lane
      const told =
        coefficients[at]! +
        share * (coefficients[at + 1]! + share * (coefficients[at + 2]! + share * coefficients[at + 3]!))
      const off = Math.abs(told - out[lane]!)
      // Slopes serve the search only: a thousandth of the care.
      if (off > 0) miss = Math.max(miss, (off / Math.max(size[lane]!, Math.abs(out[lane]!))) * (lane === 0 ? 1 : 1e-3))
    }
  }
  if (none === CHECKS.length ? !Number.isNaN(coefficients[0]) : none > 0 || Number.isNaN(coefficients[0])) {
    miss = Number.POSITIVE_INFINITY
  }
  for (let lane = 0; lane <= lanes; lane++) {
    for (let r = 1; r < 4; r++) coefficients[4 * lane + r]! /= width ** r
  }
  return { from, to, real, coefficients, miss: width < LEAST * Math.max(1, to) ? 0 : miss }
}

/** Lays the pieces end to end, with a last one that holds the value at the end. */
function assemble(sample: Sampled, pieces: readonly Piece[], lanes: number, out: Float64Array): FittedCurve {
  const count = pieces.length + 1
  const knots = new Float64Array(count)
  const real = new Uint8Array(count)
  const all = Array.from({ length: lanes + 1 }, () => new Float64Array(4 * count))
  pieces.forEach((piece, k) => {
    knots[k] = piece.from
    if (piece.real) real[k] = 1
    all.forEach((row, lane) => {
      row.set(piece.coefficients.subarray(4 * lane, 4 * lane + 4), 4 * k)
    })
  })
  knots[count - 1] = LAST_ARGUMENT
  real[count - 1] = 1
  sample(LAST_ARGUMENT, out)
  all.forEach((row, lane) => {
    row[4 * (count - 1)] = out[lane]!
  })
  return { knots, coefficients: all[0]!, slopes: all.slice(1), real }
}

/** Rows r of the inverse of the matrix of powers of the nodes: monomial coefficients from values. */
function invertVandermonde(nodes: readonly number[]): number[][] {
  const rows = nodes.map(() => nodes.map(() => 0))
  nodes.forEach((node, k) => {
    // The Lagrange polynomial of node k, multiplied out.
    let poly = [1]
    nodes.forEach((other, j) => {
      if (j === k) return
      const scale = 1 / (node - other)
      const next = [...poly, 0].map(() => 0)
      poly.forEach((c, r) => {
        next[r]! -= c * other * scale
        next[r + 1]! += c * scale
      })
      poly = next
    })
    poly.forEach((c, r) => {
      rows[r]![k] = c
    })
  })
  return rows
}
