import type { Profile } from './profile.ts'

/** The air in use: none, a layer of equal segments, segments looked up by altitude, an exponential. */
export type AirKind = 'none' | 'uniform' | 'lookup' | 'exponential'

/** What a step may meet. */
export type StepEvent = 'none' | 'edge' | 'mach up' | 'mach down' | 'apoapsis'

/** What derivatives need of one stage of a step, or of an end. */
export interface Tangent {
  /** The acceleration's change with altitude [1/s2] and with speed [1/s]. */
  byAltitude: number
  bySpeed: number
  /** 1 / mass [1/kg]. */
  inverseMass: number
  /** [Pa] */
  pressure: number
  /** (F − D) / m, signed [m/s2]. */
  felt: number
  /** ρ v² [Pa], and the same times the drag coefficient. */
  flow: number
  drag: number
  /** Change with altitude of D/m [1/s2] and of p/m. */
  dragByAltitude: number
  pressureByAltitude: number
  /** Where on which drag piece. */
  pastKnot: number
  piece: number
}

/** One end of a step: its state, and all that is worked out there (see `evaluate`). */
export interface End {
  /** [m], [m/s], since release [s]. */
  altitude: number
  speed: number
  time: number
  /** [m/s2], [m/s3]. */
  acceleration: number
  jerk: number
  /** (F − D) / m, signed [m/s2], and its rate. */
  felt: number
  feltRate: number
  /** Dynamic pressure [Pa] and its rate. */
  q: number
  qRate: number
  mach: number
  machRate: number
  /** D/m [m/s2] and p/m [Pa/kg], what the losses grow by, with their rates. */
  dragLoss: number
  dragLossRate: number
  pressureLoss: number
  pressureLossRate: number
  /** Air: [kg/m3], 1 / sound speed [s/m], and changes with altitude of these and of pressure. */
  density: number
  densitySlope: number
  slowness: number
  slownessSlope: number
  pressure: number
  pressureSlope: number
  /** All of it is filled where lanes are carried, else only its first two. */
  readonly tangent: Tangent
}

/** The changes per unit of one lever, carried along with the flight. */
export interface Lane {
  altitude: number
  speed: number
  dragLoss: number
  pressureLoss: number
  /** What the lever does to the motion: mass at release (burning) or for good (coasting), flow, thrust, back pressure, drag. */
  mass: number
  flow: number
  thrust: number
  back: number
  drag: number
  /** Altitude, speed and acceleration where the step began. */
  altitude0: number
  speed0: number
  acceleration0: number
  /** The time of the event in hand; altitude and speed where a peak is taken. */
  event: number
  altitudeX: number
  speedX: number
}

/** The largest value of a figure so far, where and when, with derivatives of value and altitude by lane. */
export interface Peak {
  value: number
  altitude: number
  time: number
  slopes: Float64Array
  altitudeSlopes: Float64Array
}

/**
 * Where a flight keeps its numbers while it is integrated. It lives on between flights and is filled anew by each: nothing is allocated
 * inside a step. Numbers are fields, not module-level variables, which would be boxed at each write.
 */
export interface Workspace {
  /** The body: radius [m], gravity on it [m/s2]. */
  radius: number
  gravity: number
  /** F = thrust − back · p [N], [m2]; half the area [m2], times the drag coefficient where that is constant. */
  thrust: number
  back: number
  drag: number
  /** Mass at release (burning) or for good (coasting) [kg], and mass flow [kg/s]. */
  mass: number
  flow: number
  burning: boolean
  /** Whether what is lost to drag counts: while it burns, and between burns. */
  losing: boolean
  /** The burn in hand, or the coast after it: 0 the first burn, 1 the coast after that, 2 the second burn. */
  phase: number
  /** When the next thing comes by the clock, a burnout say [s since release]; Infinity: nothing more. */
  until: number

  airKind: AirKind
  profile: Profile | null
  segments: Float64Array
  byKilometre: Uint16Array
  layer: number
  /** A uniform layer: bottom [m], segments per metre, first segment, how many. */
  base: number
  scale: number
  firstSegment: number
  segmentCount: number
  /** An exponential body: values at altitude 0, 1 / scale height [1/m], 1 / sound speed, 0 where none is told. */
  pressure0: number
  density0: number
  fall: number
  slowness0: number

  /** Whether drag hangs on mach: then piece p begins at mach `starts[p]`, coefficients at `pieces[4p…]`; p = 0 holds below the first knot. */
  table: boolean
  starts: Float64Array
  pieces: Float64Array
  pieceCount: number
  restarts: Uint8Array
  /** Each lane's change of the coefficients: lane l, piece p at `lanePieces[4 (l pieceCount + p)…]`. */
  lanePieces: Float64Array
  /** The pieces between two restarts, and the one last used. */
  pieceLow: number
  pieceHigh: number
  piece: number

  /** Altitude [m] and mach numbers at which the integration restarts next. */
  edge: number
  machLow: number
  machHigh: number

  /** No restarts at layer edges and drag knots. */
  loose: boolean
  tolerance: number
  /** Added to speed and to altitude where errors are taken relative to them [m/s], [m]. */
  speedScale: number
  altitudeScale: number
  /** The step in hand [s]; what error control would take next, were there no event; whether it ends the burn. */
  step: number
  natural: number
  last: boolean
  /** The trial step's error but for its last stage, then in tolerances. */
  altitudeError: number
  speedError: number
  error: number
  /** Drag loss [m/s] and integral of p/m, of the step and since release (of p/m: since the last ignition). */
  stepDragLoss: number
  stepPressureLoss: number
  dragLoss: number
  pressureLoss: number
  /** Where in the step the event lies: 0 its end, −1 its beginning. */
  place: number
  evaluations: number

  /** The step's speed about its end, a quintic, and mach, a cubic (hermite.ts). */
  readonly speedFit: Float64Array
  readonly machFit: Float64Array

  /** Speed, acceleration and the two loss rates at the stages of a step; for derivatives. */
  readonly stages: Float64Array
  readonly tangents: readonly Tangent[]
  readonly laneStages: Float64Array
  /** Lanes in use, the first `laneCount` of `lanes`. */
  laneCount: number
  readonly lanes: Lane[]
  readonly ends: readonly [End, End, End]

  /** By phase. */
  readonly peakG: Peak[]
  readonly maxQ: Peak[]
  readonly maxSpeed: Peak
  readonly maxMach: Peak
}

/** A number that is no whole one from the start, so that fields are laid out for such. */
const UNSET = Number.NaN

function createTangent(): Tangent {
  return {
    byAltitude: UNSET,
    bySpeed: UNSET,
    inverseMass: UNSET,
    pressure: UNSET,
    felt: UNSET,
    flow: UNSET,
    drag: UNSET,
    dragByAltitude: UNSET,
    pressureByAltitude: UNSET,
    pastKnot: UNSET,
    piece: 0,
  }
}

function createEnd(): End {
  return {
    altitude: UNSET,
    speed: UNSET,
    time: UNSET,
    acceleration: UNSET,
    jerk: UNSET,
    felt: UNSET,
    feltRate: UNSET,
    q: UNSET,
    qRate: UNSET,
    mach: UNSET,
    machRate: UNSET,
    dragLoss: UNSET,
    dragLossRate: UNSET,
    pressureLoss: UNSET,
    pressureLossRate: UNSET,
    density: UNSET,
    densitySlope: UNSET,
    slowness: UNSET,
    slownessSlope: UNSET,
    pressure: UNSET,
    pressureSlope: UNSET,
    tangent: createTangent(),
  }
}

export function createLane(): Lane {
  return {
    altitude: UNSET,
    speed: UNSET,
    dragLoss: UNSET,
    pressureLoss: UNSET,
    mass: UNSET,
    flow: UNSET,
    thrust: UNSET,
    back: UNSET,
    drag: UNSET,
    altitude0: UNSET,
    speed0: UNSET,
    acceleration0: UNSET,
    event: UNSET,
    altitudeX: UNSET,
    speedX: UNSET,
  }
}

function createPeak(): Peak {
  return {
    value: UNSET,
    altitude: UNSET,
    time: UNSET,
    slopes: new Float64Array(0),
    altitudeSlopes: new Float64Array(0),
  }
}

export function createWorkspace(): Workspace {
  return {
    radius: UNSET,
    gravity: UNSET,
    thrust: UNSET,
    back: UNSET,
    drag: UNSET,
    mass: UNSET,
    flow: UNSET,
    burning: true,
    losing: true,
    phase: 0,
    until: UNSET,
    airKind: 'none',
    profile: null,
    segments: new Float64Array(0),
    byKilometre: new Uint16Array(0),
    layer: 0,
    base: UNSET,
    scale: UNSET,
    firstSegment: 0,
    segmentCount: 0,
    pressure0: UNSET,
    density0: UNSET,
    fall: UNSET,
    slowness0: UNSET,
    table: false,
    starts: new Float64Array(0),
    pieces: new Float64Array(0),
    pieceCount: 0,
    restarts: new Uint8Array(0),
    lanePieces: new Float64Array(0),
    pieceLow: 0,
    pieceHigh: 0,
    piece: 0,
    edge: UNSET,
    machLow: UNSET,
    machHigh: UNSET,
    loose: false,
    tolerance: UNSET,
    speedScale: UNSET,
    altitudeScale: UNSET,
    step: UNSET,
    natural: UNSET,
    last: false,
    altitudeError: UNSET,
    speedError: UNSET,
    error: UNSET,
    stepDragLoss: UNSET,
    stepPressureLoss: UNSET,
    dragLoss: UNSET,
    pressureLoss: UNSET,
    place: UNSET,
    evaluations: 0,
    speedFit: new Float64Array(6),
    machFit: new Float64Array(4),
    stages: new Float64Array(4 * 8),
    tangents: Array.from({ length: 8 }, createTangent),
    laneStages: new Float64Array(2 * 8),
    laneCount: 0,
    lanes: [],
    ends: [createEnd(), createEnd(), createEnd()],
    peakG: [createPeak(), createPeak()],
    maxQ: [createPeak(), createPeak()],
    maxSpeed: createPeak(),
    maxMach: createPeak(),
  }
}

/** Makes room for so many lanes and phases. */
export function openLanes(w: Workspace, count: number, phases: number): void {
  w.laneCount = count
  while (w.lanes.length < count) w.lanes.push(createLane())
  while (w.peakG.length < phases) {
    w.peakG.push(createPeak())
    w.maxQ.push(createPeak())
  }
  for (let phase = 0; phase < phases; phase++) {
    resetPeak(w.peakG[phase]!, count)
    resetPeak(w.maxQ[phase]!, count)
  }
  resetPeak(w.maxSpeed, count)
  resetPeak(w.maxMach, count)
}

/** Any value is larger than that of a peak not yet taken. */
function resetPeak(peak: Peak, lanes: number): void {
  peak.value = -1
  peak.altitude = UNSET
  peak.time = UNSET
  if (peak.slopes.length >= lanes) return
  peak.slopes = new Float64Array(lanes)
  peak.altitudeSlopes = new Float64Array(lanes)
}
