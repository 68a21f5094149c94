import { Vocabulary } from '../../grammar/nearest.ts'

/** What people of the trade also call the figures and quantities that have one name here. Common practice, no source. */
const HABITS: ReadonlyMap<string, string> = new Map(
  Object.entries({
    apoapsis: 'apogee, peak altitude, max altitude, maximum altitude, max height, maximum height, peak height, ceiling',
    'apoapsis time': 'apogee time',
    'peak g': 'max g, maximum g, peak acceleration, max acceleration, maximum acceleration, g load, acceleration',
    'max q': 'peak q, maximum q, dynamic pressure, max dynamic pressure, maximum dynamic pressure',
    'max speed': 'top speed, peak speed, max velocity, maximum velocity, peak velocity, maximum speed, velocity, speed',
    'max mach': 'peak mach, maximum mach, top mach, mach number',
    'liftoff ratio': 'twr, thrust weight ratio, thrust ratio, launch ratio',
    'liftoff mass':
      'launch mass, gross mass, takeoff mass, wet mass, total mass, pad mass, initial mass, liftoff weight',
    'ideal delta v': 'delta v, dv, deltav, ideal velocity, vacuum delta v',
    'burn time': 'burn duration, burning time, burnout time',
    'burnout speed': 'burnout velocity',
    'touchdown speed': 'landing speed, impact speed, landing velocity, touchdown velocity, descent rate',
    'rail exit speed': 'rail speed, launch speed, rail exit velocity, rod speed, exit speed',
    'flight time': 'flight duration, total time',
    downrange: 'range, drift, distance',
    'specific impulse': 'isp, impulse',
    'dry mass': 'empty mass, inert mass, structure mass, burnout mass, empty weight, dry weight',
    'propellant mass': 'fuel mass, propellant, fuel, propellant weight, fuel weight',
    'vacuum thrust': 'thrust, motor thrust, engine thrust',
    'sea level thrust': 'ground thrust, surface thrust',
    'throttle cap': 'throttle, throttle limit, thrust limit, throttle setting',
    'drag coefficient': 'cd, drag factor, drag',
    'reference area': 'area, cross section, frontal area',
    ln: 'loge',
    log10: 'lg',
    pi: 'π',
    abs: 'absolute, fabs',
  }).flatMap(([ours, theirs]) => theirs.split(', ').map(each => [each, ours] as const)),
)

/** The known name that a wrong one was most likely meant to be: by a slip of the keyboard, or by what the trade also calls it. Null when unsure. */
export function meant(word: string, known: Iterable<string> | Vocabulary): string | null {
  const names = known instanceof Vocabulary ? known : new Vocabulary(known)
  const bare = word.replace(/^the /, '').replace(/(?: (?:is|are|be|should|must|shall|will|has|to))+$/, '')
  if (bare !== word && names.has(bare)) return bare
  const habit = HABITS.get(word) ?? HABITS.get(word.toLowerCase())
  return habit !== undefined && names.has(habit) ? habit : names.nearest(word)
}
