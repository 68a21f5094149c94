export { contradiction } from './core.ts'
export { LinearSession, openLinear } from './session.ts'
export { type LinearResult, solveLinear } from './solve.ts'
export type { Form, LinearRow, LinearSystem, LinearVariable } from './system.ts'
