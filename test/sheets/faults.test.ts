import { openSheet } from '../../sheets/index.ts'
import { testFaults } from '../support/faults.ts'

testFaults(new URL('faults/meaning/', import.meta.url), sheet => openSheet(sheet).problems)

testFaults(new URL('faults/check/', import.meta.url), sheet => {
  const { problems, remarks } = openSheet(sheet).check()
  return [...problems, ...remarks]
})
