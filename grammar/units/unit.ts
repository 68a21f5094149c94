export { asWritten, decimalToSI, fromSI, isReading, PLAIN, toSI, type Unit } from './conversion.ts'
export { parseUnit } from './parse.ts'
export { mendOf, type UnitFault } from './suggest.ts'
