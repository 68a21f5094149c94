import { ownFolder } from './folders.ts'

/**
 * Before all tests: whatever they and the processes they start put among the machine's temporary files goes into one folder, which goes
 * with the run. Workers of a test runner are ended before they could clear up after themselves.
 */
export default function setUp(): () => void {
  const usual = process.env.TMPDIR
  process.env.TMPDIR = ownFolder('tests')
  return () => {
    if (usual === undefined) delete process.env.TMPDIR
    else process.env.TMPDIR = usual
  }
}
