import { checkTable } from './checks.ts'

// `npm run checks`: what is compared with something outside the project, and how far it is off; DEVELOPERS.md and the README show the table.

console.log(await checkTable())
