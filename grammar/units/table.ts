import { type Dimension, dimension, multiply, NONE } from './dimension.ts'

/** One row of the unit table. */
export interface UnitRow {
  /** Ways to write it; the first is the one suggested. */
  readonly symbols: readonly string[]
  /** Its name in words, singular; other names are known so that the symbol can be suggested. */
  readonly words: readonly string[]
  /** Its size in coherent SI units: decimals and `pi` with `*` and `/`, exact as written. */
  readonly factor: string
  readonly dimension: Dimension
  /** Whether SI prefixes go before it: all of them, or none. */
  readonly prefixes: boolean
  /** For a reading on a temperature scale: SI = (value + offset) × factor. */
  readonly offset?: string
  readonly source: string
}

const BROCHURE = 'SI Brochure, 9th edition (2019)'
const SP811 = 'NIST SP 811 (2008), Appendix B.8'
const EXACT = 'exact definition, NIST SP 811 (2008), Appendix B.8'

const LENGTH = dimension(1)
const AREA = dimension(2)
const VOLUME = dimension(3)
const MASS = dimension(0, 1)
const TIME = dimension(0, 0, 1)
const TEMPERATURE = dimension(0, 0, 0, 1)
const ANGLE = dimension(0, 0, 0, 0, 1)
const CURRENT = dimension(0, 0, 0, 0, 0, 1)
const AMOUNT = dimension(0, 0, 0, 0, 0, 0, 1)
const LIGHT = dimension(0, 0, 0, 0, 0, 0, 0, 1)
const RATE = dimension(0, 0, -1)
const SPEED = dimension(1, 0, -1)
const ACCELERATION = dimension(1, 0, -2)
const FORCE = dimension(1, 1, -2)
const PRESSURE = dimension(-1, 1, -2)
const ENERGY = dimension(2, 1, -2)
const POWER = dimension(2, 1, -3)
const CHARGE = multiply(CURRENT, TIME)
const VOLTAGE = dimension(2, 1, -3, 0, 0, -1)

/** The rows that take SI prefixes. */
function metric(symbols: string, words: string, factor: string, of: Dimension, source = BROCHURE): UnitRow {
  return { symbols: symbols.split(' '), words: words.split(', '), factor, dimension: of, prefixes: true, source }
}

/** The rows that stand as they are. */
function plain(symbols: string, words: string, factor: string, of: Dimension, source: string): UnitRow {
  return { symbols: symbols.split(' '), words: words.split(', '), factor, dimension: of, prefixes: false, source }
}

export const UNITS: readonly UnitRow[] = [
  // The base units; the gram stands for the kilogram because prefixes go before the gram.
  metric('m', 'metre, meter', '1', LENGTH),
  metric('g', 'gram, gramme', '1/1000', MASS),
  metric('s', 'second, sec', '1', TIME),
  metric('K', 'kelvin', '1', TEMPERATURE),
  metric('A', 'ampere, amp', '1', CURRENT),
  metric('mol', 'mole', '1', AMOUNT),
  metric('cd', 'candela', '1', LIGHT),

  // Derived units with names of their own. Angle is a dimension here, so the radian is its base unit.
  metric('rad', 'radian', '1', ANGLE),
  metric('Hz', 'hertz', '1', RATE),
  metric('N', 'newton', '1', FORCE),
  metric('Pa', 'pascal', '1', PRESSURE),
  metric('J', 'joule', '1', ENERGY),
  metric('W', 'watt', '1', POWER),
  metric('C', 'coulomb', '1', CHARGE),
  metric('V', 'volt', '1', VOLTAGE),
  metric('Ω ohm', 'ohm', '1', dimension(2, 1, -3, 0, 0, -2)),

  // Accepted for use with the SI, and metric units of the trade.
  plain('min', 'minute', '60', TIME, BROCHURE),
  plain('h', 'hour, hr', '3600', TIME, BROCHURE),
  plain('d', 'day', '86400', TIME, BROCHURE),
  plain('deg °', 'degree', 'pi/180', ANGLE, BROCHURE),
  plain('arcmin', 'minute of arc, arcminute', 'pi/10800', ANGLE, BROCHURE),
  plain('arcsec', 'second of arc, arcsecond', 'pi/648000', ANGLE, BROCHURE),
  plain('ha', 'hectare', '10000', AREA, BROCHURE),
  metric('L l', 'litre, liter', '0.001', VOLUME),
  // No prefixes: "ft" is the foot, and "kt" would be read as a knot by half its readers.
  plain('t', 'tonne, metric ton', '1000', MASS, BROCHURE),
  metric('bar', 'bar', '100000', PRESSURE, SP811),
  metric('Wh', 'watt hour', '3600', ENERGY, EXACT),
  metric('cal', 'calorie, thermochemical calorie', '4.184', ENERGY, EXACT),
  metric('calIT', 'international table calorie', '4.1868', ENERGY, EXACT),
  metric('dyn', 'dyne', '0.00001', FORCE, EXACT),
  metric('erg', 'erg', '0.0000001', ENERGY, EXACT),
  metric('P', 'poise', '0.1', dimension(-1, 1, -1), EXACT),
  metric('St', 'stokes', '0.0001', dimension(2, 0, -1), EXACT),
  plain('%', 'percent, per cent', '1/100', NONE, BROCHURE),

  // Gravity and weight.
  plain('g0', 'standard gravity, standard acceleration of gravity', '9.80665', ACCELERATION, EXACT),
  plain('kgf', 'kilogram-force, kilopond', '9.80665', FORCE, EXACT),
  plain('lbf', 'pound-force', '0.45359237*9.80665', FORCE, EXACT),
  plain('ozf', 'ounce-force', '0.028349523125*9.80665', FORCE, EXACT),
  plain('kip', 'kip', '453.59237*9.80665', FORCE, EXACT),
  plain('pdl', 'poundal', '0.45359237*0.3048', FORCE, EXACT),
  plain('lb lbm', 'pound, pound-mass', '0.45359237', MASS, EXACT),
  plain('oz', 'ounce', '0.028349523125', MASS, EXACT),
  plain('gr', 'grain', '0.00006479891', MASS, EXACT),
  plain('slug', 'slug', '0.45359237*9.80665/0.3048', MASS, `${SP811}; lbf*s^2/ft`),
  plain('shortton', 'short ton', '907.18474', MASS, EXACT),
  plain('longton', 'long ton', '1016.0469088', MASS, EXACT),

  // Lengths and what follows from them.
  plain('inch inches', 'inch', '0.0254', LENGTH, EXACT),
  plain('ft', 'foot, feet', '0.3048', LENGTH, EXACT),
  plain('ftUS', 'survey foot, survey feet', '1200/3937', LENGTH, EXACT),
  plain('yd', 'yard', '0.9144', LENGTH, EXACT),
  plain('mi', 'mile, statute mile', '1609.344', LENGTH, EXACT),
  plain('nmi', 'nautical mile', '1852', LENGTH, EXACT),
  plain('kn', 'knot', '1852/3600', SPEED, EXACT),
  plain('mph', 'mile per hour, miles per hour', '0.44704', SPEED, EXACT),
  plain('acre', 'acre', '4046.8564224', AREA, 'exact, of the international foot: 43560 ft^2'),
  plain('gal', 'gallon', '0.003785411784', VOLUME, `${EXACT}, U.S. gallon`),
  plain('ukgal', 'imperial gallon', '0.00454609', VOLUME, EXACT),

  // Pressures.
  plain('psi', 'pound per square inch, pounds per square inch', '0.45359237*9.80665/0.0254/0.0254', PRESSURE, SP811),
  plain('psf', 'pound per square foot, pounds per square foot', '0.45359237*9.80665/0.3048/0.3048', PRESSURE, SP811),
  plain('ksi', 'kip per square inch', '453.59237*9.80665/0.0254/0.0254', PRESSURE, SP811),
  plain('ksf', 'kip per square foot', '453.59237*9.80665/0.3048/0.3048', PRESSURE, SP811),
  plain('atm', 'atmosphere', '101325', PRESSURE, EXACT),
  plain('torr Torr', 'torr', '101325/760', PRESSURE, EXACT),
  plain('mmHg', 'millimetre of mercury', '13.5951*9.80665', PRESSURE, `${SP811}; conventional, 13595.1 kg/m^3`),
  plain('inHg', 'inch of mercury', '13.5951*9.80665*25.4', PRESSURE, `${SP811}; conventional, 13595.1 kg/m^3`),
  plain('inH2O', 'inch of water', '9.80665*25.4', PRESSURE, `${SP811}; conventional, 1000 kg/m^3`),

  // Heat and work.
  plain('Btu BTU', 'British thermal unit', '1055.05585262', ENERGY, `${EXACT}, International Table`),
  plain('Btuth', 'thermochemical British thermal unit', '4.184*453.59237/1.8', ENERGY, SP811),
  plain('hp', 'horsepower', '550*0.3048*0.45359237*9.80665', POWER, `${SP811}; 550 ft*lbf/s`),
  plain('rpm', 'revolution per minute, revolutions per minute', 'pi/30', dimension(0, 0, -1, 0, 1), SP811),

  // Temperatures: degC and degF are readings on a scale, degR counts from absolute zero.
  { ...plain('degC °C', 'degree Celsius, celsius', '1', TEMPERATURE, EXACT), offset: '273.15' },
  { ...plain('degF °F', 'degree Fahrenheit, fahrenheit', '5/9', TEMPERATURE, EXACT), offset: '459.67' },
  plain('degR °R', 'degree Rankine, rankine', '5/9', TEMPERATURE, EXACT),
]

/** SI prefixes: symbol, word, power of ten (SI Brochure, table 7). "u" is the keyboard's way to write "µ". */
export const PREFIXES: readonly (readonly [string, string, number])[] = [
  ['k', 'kilo', 3],
  ['M', 'mega', 6],
  ['G', 'giga', 9],
  ['T', 'tera', 12],
  ['P', 'peta', 15],
  ['E', 'exa', 18],
  ['Z', 'zetta', 21],
  ['Y', 'yotta', 24],
  ['da', 'deca', 1],
  ['h', 'hecto', 2],
  ['d', 'deci', -1],
  ['c', 'centi', -2],
  ['m', 'milli', -3],
  ['µ', 'micro', -6],
  ['u', 'micro', -6],
  ['n', 'nano', -9],
  ['p', 'pico', -12],
  ['f', 'femto', -15],
  ['a', 'atto', -18],
  ['z', 'zepto', -21],
  ['y', 'yocto', -24],
]
