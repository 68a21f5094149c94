import { spawnSync } from 'node:child_process'

/** Names under which a Chromium is found. */
const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'chrome']

/** The Chromium of this machine, null where there is none. */
export function chromiumHere(): string | null {
  return NAMES.find(name => spawnSync(name, ['--version'], { stdio: 'ignore' }).status === 0) ?? null
}

/** Before all tests: puts Debian's Chromium on a machine that lacks it, where that may be done; elsewhere says what is left out. */
export default function setUp(): void {
  if (chromiumHere()) return
  const ran = (words: readonly string[]): boolean =>
    spawnSync(words[0]!, words.slice(1), {
      stdio: 'ignore',
      env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      timeout: 240_000,
    }).status === 0
  const root = process.getuid?.() === 0 ? [] : ['sudo', '-n']
  const apt = (...words: readonly string[]): boolean => ran([...root, 'apt-get', '-y', '-q', ...words])
  if (apt('update') && apt('install', '--no-install-recommends', 'chromium') && chromiumHere()) return
  process.stderr.write(
    '\nThe tests that need a browser are left out: there is no Chromium here, and it could not be installed.\n' +
      'On Debian: apt-get install chromium\n\n',
  )
}
