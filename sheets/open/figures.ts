/**
 * The figures that a flight gives, as design and trade name them. `unit` is the one it is shown in unless the sheet says otherwise;
 * `of` tells where it comes from: `algebra` of the slots, or `flown` by integration.
 */
export interface FigureEntry {
  readonly name: string
  readonly unit: string
  readonly of: 'algebra' | 'flown'
  readonly meaning: string
}

const entry =
  (of: FigureEntry['of']) =>
  (name: string, unit: string, meaning: string): FigureEntry => ({ name, unit, of, meaning })
const algebra = entry('algebra')
const flown = entry('flown')

/** In the order in which they are listed in an answer. */
export const FIGURES: readonly FigureEntry[] = [
  algebra('liftoff mass', 'kg', 'all that stands on the pad at ignition'),
  algebra('mass ratio', '1', 'liftoff mass over the mass without propellant'),
  algebra('propellant fraction', '%', 'propellant over liftoff mass'),
  algebra('total impulse', 'kN*s', 'thrust added up over the burn, in vacuum'),
  algebra('ideal delta v', 'm/s', 'the speed gained with no gravity, no drag and no air pressure'),
  algebra('liftoff ratio', '1', 'thrust over weight at ignition'),
  flown('burnout ratio', '1', 'thrust over weight on the ground, just before burnout'),
  flown('peak g', 'g0', 'the largest acceleration felt on the way up'),
  flown('max q', 'kPa', 'the largest dynamic pressure on the way up'),
  flown('max q altitude', 'km', 'the altitude of max q'),
  flown('max speed', 'm/s', 'the largest speed on the way up'),
  flown('max mach', '1', 'the largest mach number on the way up'),
  algebra('burn time', 's', 'from ignition to burnout'),
  flown('burnout altitude', 'km', 'altitude at burnout'),
  flown('burnout speed', 'm/s', 'speed at burnout'),
  flown('apoapsis', 'km', 'the highest point of the flight'),
  flown('apoapsis time', 's', 'from ignition to the highest point'),
  flown('apoapsis speed', 'm/s', 'horizontal speed at the highest point'),
  flown('gravity loss', 'm/s', 'speed that gravity took before burnout'),
  flown('drag loss', 'm/s', 'speed that drag took before burnout'),
  flown('back pressure loss', 'm/s', 'speed that the air pressing on the nozzle took before burnout'),
  flown('burnout angle', 'deg', 'the flight path above the horizontal at burnout'),
  flown('rail exit speed', 'm/s', 'speed when the rail has been run'),
  flown('orbit shortfall', 'm/s', 'what the apoapsis speed lacks for a circular orbit there'),
  flown('periapsis', 'km', 'lowest point of the orbit that the apoapsis belongs to, were there no air and no ground'),
  flown('spaceborne time', 's', 'time above the space boundary'),
  flown('peak heat flux', 'kW/m^2', 'largest heating of the nose on the way up'),
  flown('heat load', 'kJ/m^2', 'heating of the nose added up on the way up'),
  flown('entry g', 'g0', 'the largest acceleration felt on the way down, until a parachute opens'),
  flown('entry q', 'kPa', 'the largest dynamic pressure on the way down, until a parachute opens'),
  flown('entry heat flux', 'kW/m^2', 'largest heating of the nose on the way down'),
  flown('entry heat load', 'kJ/m^2', 'heating of the nose added up on the way down'),
  flown(
    'ascent crew margin',
    '1',
    'the crew limit over what is felt on the way up, for the duration at which that is least',
  ),
  flown('entry crew margin', '1', 'the same on the way down, parachutes included'),
  flown('crew margin', '1', 'the lesser of the two: 1 is just at the limit, more is within it'),
  flown('touchdown speed', 'm/s', 'speed at the ground'),
  flown('touchdown energy', 'kJ', 'energy of motion at the ground'),
  flown('flight time', 's', 'from ignition to the ground'),
  flown('downrange', 'km', 'distance along the ground'),
]

/** Of each stage, as `FIGURE of STAGE`: of all that it lifts; burnout and after are flown. */
export const STAGE_FIGURES: readonly FigureEntry[] = [
  algebra('liftoff mass', 'kg', 'all that the stage lifts at its ignition, itself too'),
  algebra('mass ratio', '1', 'that mass over what is left at its burnout'),
  algebra('propellant fraction', '%', 'its propellant over that mass'),
  algebra('total impulse', 'kN*s', 'its thrust added up over its burn, in vacuum'),
  algebra('ideal delta v', 'm/s', 'the speed it would give with no gravity, no drag and no air pressure'),
  algebra('liftoff ratio', '1', 'its thrust over that mass by the pressure and gravity of the pad'),
  flown('burn time', 's', 'from its ignition to its burnout'),
  flown('burnout ratio', '1', 'thrust over weight on the ground, just before its burnout'),
  flown('burnout altitude', 'km', 'altitude at its burnout'),
  flown('burnout speed', 'm/s', 'speed at its burnout'),
  flown('downrange', 'km', 'where it falls after its drop, along the ground'),
  flown('flight time', 's', 'from ignition to where it falls'),
  flown('touchdown speed', 'm/s', 'its speed at the ground'),
]

/** Of each parachute, as `FIGURE of PARACHUTE`. */
export const PARACHUTE_FIGURES: readonly FigureEntry[] = [
  flown('opening speed', 'm/s', 'speed at which it opens'),
  flown('opening q', 'kPa', 'dynamic pressure at which it opens'),
  flown('opening altitude', 'km', 'altitude at which it opens'),
  flown('opening time', 's', 'from ignition to its opening'),
  flown('opening g', 'g0', 'the largest acceleration felt from its opening to that of the next, or to the ground'),
]

const byName = new Map(FIGURES.map(figure => [figure.name, figure]))

/** The entry of a figure's name, or undefined. */
export function figureNamed(name: string): FigureEntry | undefined {
  return byName.get(name)
}

/** The figures that a stage or a parachute has. */
export function figuresOfPart(kind: 'stage' | 'parachute'): readonly FigureEntry[] {
  return kind === 'stage' ? STAGE_FIGURES : PARACHUTE_FIGURES
}
