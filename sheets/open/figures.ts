import type { FlownName } from '../../solver/index.ts'

/**
 * The figures that a flight gives, as design and trade name them. `unit` is the one it is shown in unless the sheet says otherwise;
 * `of` tells where it comes from: `algebra` of the slots, `flown` by integration, or not in this version (`later`).
 */
export interface FigureEntry {
  readonly name: string
  readonly unit: string
  readonly of: 'algebra' | 'flown' | 'later'
  readonly meaning: string
}

const entry =
  (of: FigureEntry['of']) =>
  (name: string, unit: string, meaning: string): FigureEntry => ({ name, unit, of, meaning })
const algebra = entry('algebra')
const flown = (name: FlownName, unit: string, meaning: string): FigureEntry => entry('flown')(name, unit, meaning)
const later = entry('later')

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
  later('rail exit speed', 'm/s', 'speed when the rail has been run'),
  later('spaceborne time', 's', 'time above the space boundary'),
  later('peak heat flux', 'kW/m^2', 'largest heating of the nose on the way up'),
  later('heat load', 'kJ/m^2', 'heating of the nose added up on the way up'),
  later('entry g', 'g0', 'the largest acceleration felt on the way down'),
  later('entry q', 'kPa', 'the largest dynamic pressure on the way down'),
  later('entry heat flux', 'kW/m^2', 'largest heating of the nose on the way down'),
  later('opening speed', 'm/s', 'speed at which a parachute opens'),
  later('opening q', 'kPa', 'dynamic pressure at which a parachute opens'),
  later('opening altitude', 'km', 'altitude at which a parachute opens'),
  later('opening g', 'g0', 'the largest acceleration felt under a parachute'),
  later('touchdown speed', 'm/s', 'speed at the ground'),
  later('flight time', 's', 'from ignition to the ground'),
  later('downrange', 'km', 'distance along the ground'),
]

const byName = new Map(FIGURES.map(figure => [figure.name, figure]))

/** The entry of a figure's name, or undefined. */
export function figureNamed(name: string): FigureEntry | undefined {
  return byName.get(name)
}
