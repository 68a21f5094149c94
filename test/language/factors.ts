import { readFileSync } from 'node:fs'

// data/unit_factors.csv: NIST SP 811 (2008), Appendix B.8, and the exact definitions it rests on; its first line says
// which values were written out and which are from memory. Beside each row, how it is written here.
export const WRITTEN: Readonly<Record<string, string>> = {
  'pound-force (lbf)': 'lbf',
  'pound (lb)': 'lb',
  'ounce (oz avdp)': 'oz',
  slug: 'slug',
  'short ton (2000 lb)': 'shortton',
  'long ton (2240 lb)': 'longton',
  tonne: 't',
  'kilogram-force (kgf)': 'kgf',
  'kip (1000 lbf)': 'kip',
  poundal: 'pdl',
  dyne: 'dyn',
  inch: 'inch',
  'foot (international)': 'ft',
  'foot (U.S. survey)': 'ftUS',
  yard: 'yd',
  'mile (statute)': 'mi',
  'nautical mile': 'nmi',
  knot: 'kn',
  'mile per hour': 'mph',
  'foot per second': 'ft/s',
  'km per hour': 'km/h',
  'foot per second squared': 'ft/s^2',
  'standard gravity g_n': 'g0',
  'gal (cm/s2)': 'cm/s^2',
  'psi (lbf/in2)': 'psi',
  'psf (lbf/ft2)': 'psf',
  'ksf (kip/ft2)': 'ksf',
  'standard atmosphere (atm)': 'atm',
  bar: 'bar',
  'millibar = hPa': 'mbar',
  torr: 'torr',
  'mmHg (conventional)': 'mmHg',
  'inHg (conventional)': 'inHg',
  'technical atmosphere (kgf/cm2)': 'kgf/cm^2',
  'inH2O (conventional)': 'inH2O',
  'Btu (International Table)': 'Btu',
  'Btu (thermochemical)': 'Btuth',
  'calorie (IT)': 'calIT',
  'calorie (thermochemical)': 'cal',
  'foot pound-force': 'ft*lbf',
  'kilowatt hour': 'kWh',
  'Btu_IT per lb': 'Btu/lb',
  'Btu_IT per (lb degF)': 'Btu/(lb*degR)',
  'Btu_IT per (ft2 s)': 'Btu/(ft^2*s)',
  'Btu_IT per (ft2 h)': 'Btu/(ft^2*h)',
  'W/cm2': 'W/cm^2',
  'horsepower (550 ft lbf/s)': 'hp',
  'pound-force second': 'lbf*s',
  'specific impulse second (lbf s/lb)': 'lbf*s/lb',
  'gallon (U.S.)': 'gal',
  'gallon (UK)': 'ukgal',
  litre: 'L',
  'cubic foot': 'ft^3',
  'cubic inch': 'inch^3',
  'square foot': 'ft^2',
  'square inch': 'inch^2',
  'lb per cubic foot': 'lb/ft^3',
  'lb per cubic inch': 'lb/inch^3',
  'slug per cubic foot': 'slug/ft^3',
  'lb per second': 'lb/s',
  'lb per U.S. gallon': 'lb/gal',
  'slug per (ft s)': 'slug/(ft*s)',
  poise: 'P',
  stokes: 'St',
  'slug square foot': 'slug*ft^2',
  degree: 'deg',
  'minute of arc': 'arcmin',
  'revolution per minute': 'rpm',
  'degree Rankine': 'degR',
  'degree Fahrenheit (interval)': 'degR',
}

export const rows = readFileSync(new URL('data/unit_factors.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(2)
  .map(line => {
    const [name, si, factor, ...exactness] = line.split(',')
    return { name: name!, si: si!, factor: factor!, exactness: exactness.join(',') }
  })

/** "kg m2", "J/(kg K)" of the file as written here. */
export function siUnit(text: string): string {
  return text.replaceAll(' ', '*').replace(/(?<=[a-z])([23])/g, '^$1')
}
