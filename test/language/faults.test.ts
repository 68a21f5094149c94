import { parse } from '../../grammar/index.ts'
import { testFaults } from '../support/faults.ts'

testFaults(new URL('faults/parse/', import.meta.url), sheet => parse(sheet).problems)
