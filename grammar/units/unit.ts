export { decimalToSI, fromSI, isReading, PLAIN, toSI, type Unit } from './conversion.ts'
export { parseUnit } from './parse.ts'
export type { UnitFault } from './suggest.ts'
