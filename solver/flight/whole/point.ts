/** Places in a state: altitude [m], upward and horizontal speed [m/s], mass [kg] (what rates hang on); sums: angle run about the body's centre [rad], drag and back pressure loss [m/s], heat taken [J/m2]. */
export const H = 0
export const U = 1
export const W = 2
export const MASS = 3
export const ANGLE = 4
export const DRAG_LOSS = 5
export const BACK_LOSS = 6
export const HEAT = 7
export const SIZE = 8

/** A moment of a flight: its state, the rates there, and all that peaks, events and derivatives ask of it (`complete`). */
export interface Point {
  /** Since release [s]. */
  time: number
  readonly state: Float64Array
  readonly rates: Float64Array
  /** Air: Pa, kg/m3, s/m, their slopes with altitude, and the density's bend. */
  pressure: number
  pressureSlope: number
  density: number
  densitySlope: number
  densityBend: number
  slowness: number
  slownessSlope: number
  /** Along the motion [m/s]; its direction, up and horizontal; that of the thrust. */
  speed: number
  eu: number
  ew: number
  du: number
  dw: number
  /** Local gravity [m/s2], and 1 / distance from the centre [1/m]. */
  gravity: number
  nearness: number
  /** Vacuum thrust at the cap [N], its rate by burn time and by cap; share that the air pressure leaves; thrust and drag over mass [m/s2]; mass flow [kg/s]. */
  vacuum: number
  vacuumByTime: number
  vacuumByCap: number
  shape: number
  share: number
  push: number
  drag: number
  flow: number
  back: number
  /** Drag coefficient, its slope by mach, where on which piece; canopy's and all area × coefficient [m2]. */
  coefficient: number
  coefficientSlope: number
  piece: number
  past: number
  canopy: number
  area: number
  /** Felt [m/s2], Pa, –, W/m2. */
  felt: number
  q: number
  mach: number
  heat: number
  /** Rates along the motion of speed, felt, q, mach, heating and thrust over mass; of the rates of upward and horizontal speed. */
  speedRate: number
  feltRate: number
  qRate: number
  machRate: number
  heatRate: number
  pushRate: number
  upJerk: number
  sideJerk: number
  /** And of those of drag and back pressure loss. */
  dragTrend: number
  backTrend: number
}

const UNSET = Number.NaN

export function createPoint(): Point {
  return {
    time: UNSET,
    state: new Float64Array(SIZE),
    rates: new Float64Array(SIZE),
    pressure: UNSET,
    pressureSlope: UNSET,
    density: UNSET,
    densitySlope: UNSET,
    densityBend: UNSET,
    slowness: UNSET,
    slownessSlope: UNSET,
    speed: UNSET,
    eu: UNSET,
    ew: UNSET,
    du: UNSET,
    dw: UNSET,
    gravity: UNSET,
    nearness: UNSET,
    vacuum: UNSET,
    vacuumByTime: UNSET,
    vacuumByCap: UNSET,
    shape: UNSET,
    share: UNSET,
    push: UNSET,
    drag: UNSET,
    flow: UNSET,
    back: UNSET,
    coefficient: UNSET,
    coefficientSlope: UNSET,
    piece: 0,
    past: UNSET,
    canopy: UNSET,
    area: UNSET,
    felt: UNSET,
    q: UNSET,
    mach: UNSET,
    heat: UNSET,
    speedRate: UNSET,
    feltRate: UNSET,
    qRate: UNSET,
    machRate: UNSET,
    heatRate: UNSET,
    pushRate: UNSET,
    upJerk: UNSET,
    sideJerk: UNSET,
    dragTrend: UNSET,
    backTrend: UNSET,
  }
}

/** Copies state and time only. */
export function copyState(from: Point, to: Point): void {
  copyNumbers(from.state, to.state)
  to.time = from.time
}

/** Copies the numbers of a state: `set` costs more on so few. */
export function copyNumbers(from: Float64Array, to: Float64Array): void {
  for (let k = 0; k < SIZE; k++) to[k] = from[k]!
}
