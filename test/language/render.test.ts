import { expect, test } from 'vitest'
import { error, renderProblem, renderProblems, warning, widthOf } from '../../grammar/index.ts'

const text = 'fact a = 1\nfact b = 2 kg\n'

test('a problem is told with its place, line, mark and mend', () => {
  const problem = error({ line: 2, column: 10, length: 4 }, 'This is wrong.', 'Write it right.')
  expect(renderProblem(problem, text, 'a.loft')).toBe(
    ['a.loft:2:10: error: This is wrong.', '  2  fact b = 2 kg', '              ^^^^', '     Write it right.'].join(
      '\n',
    ),
  )
})

test('other places that belong to it are shown with what is said of them', () => {
  const also = [{ line: 1, column: 6, length: 1, message: 'It is here too.' }]
  const problem = warning({ line: 2, column: 6, length: 1 }, 'This is odd.', null, also)
  expect(renderProblem(problem, text, 'a.loft')).toBe(
    [
      'a.loft:2:6: warning: This is odd.',
      '  2  fact b = 2 kg',
      '          ^',
      '  1  fact a = 1',
      '          ^ It is here too.',
    ].join('\n'),
  )
})

test('line numbers of several digits are in line', () => {
  const lines = Array.from({ length: 120 }, (_, index) => `fact a${index} = 1`)
  const also = [{ line: 7, column: 1, length: 4, message: 'Here.' }]
  const shown = renderProblem(
    warning({ line: 112, column: 1, length: 4 }, 'Wrong.', null, also),
    lines,
    'a.loft',
  ).split('\n')
  expect(shown[1]).toBe('  112  fact a111 = 1')
  expect(shown[3]).toBe('    7  fact a6 = 1')
})

test('the mark stands under wide letters, and behind letters without width', () => {
  const line = 'fact 质量 = e\u0301 $'
  const [, shown, mark] = renderProblem(
    warning({ line: 1, column: line.length, length: 1 }, 'Wrong.'),
    line,
    'a',
  ).split('\n')
  expect(widthOf(mark!.slice(0, -1))).toBe(widthOf(shown!.slice(0, shown!.indexOf('$'))))
  expect(mark!.endsWith(' ^')).toBe(true)
  const wide = renderProblem(warning({ line: 1, column: 6, length: 2 }, 'Wrong.'), line, 'a').split('\n')
  expect(wide[2]!.trim()).toBe('^^^^')
})

test('a mark behind the end of the line is one sign', () => {
  const [, shown, mark] = renderProblem(warning({ line: 1, column: 11, length: 1 }, 'Wrong.'), text, 'a').split('\n')
  expect(mark).toBe(`${' '.repeat(shown!.length)}^`)
})

test('a mark longer than its line stays on it', () => {
  const [, shown, mark] = renderProblem(warning({ line: 1, column: 1, length: 999 }, 'Wrong.'), text, 'a').split('\n')
  expect(mark!.length).toBe(shown!.length)
})

test('a line far away is empty, not an error', () => {
  expect(renderProblem(warning({ line: 99, column: 5, length: 1 }, 'Wrong.'), text, 'a').split('\n')).toHaveLength(3)
})

test.each([0, 1, 50, 63, 64, 65, 100, 500, 998, 999])('of a long line the part around column %i is shown', at => {
  const line = `${'a'.repeat(at)}$${'b'.repeat(999 - at)}`
  const [, shown, mark] = renderProblem(warning({ line: 1, column: at + 1, length: 1 }, 'Wrong.'), line, 'a').split(
    '\n',
  )
  expect(widthOf(shown!)).toBeLessThan(110)
  expect(shown![mark!.length - 1]).toBe('$')
})

test('a cut never parts a character', () => {
  const line = `${'🚀'.repeat(400)}$`
  for (const column of [1, 301, 302, 303, 801]) {
    const shown = renderProblem(warning({ line: 1, column, length: 1 }, 'Wrong.'), line, 'a')
    expect(shown).not.toContain('\ufffd')
  }
})

test('what would steer a terminal is shown as a replacement', () => {
  const shown = renderProblem(
    warning({ line: 1, column: 1, length: 1 }, 'Bad \u001b[31m name.'),
    'a\u001b[2Jb\u202ec\u0000',
    'x\u001b.loft',
  )
  expect(shown).toBe('x\ufffd.loft:1:1: warning: Bad \ufffd[31m name.\n  1  a\ufffd[2Jb\ufffdc\ufffd\n     ^')
})

test('parts can be painted', () => {
  const paint = {
    place: (part: string) => `<${part}>`,
    severity: (part: string) => `!${part}`,
    mark: (part: string) => `{${part}}`,
    mend: (part: string) => `(${part})`,
  }
  const problem = error({ line: 1, column: 1, length: 4 }, 'Wrong.', 'Mend.')
  expect(renderProblem(problem, text, 'a', paint)).toBe(
    '<a:1:1:> !error: Wrong.\n  1  fact a = 1\n     {^^^^}\n     (Mend.)',
  )
})

test('several problems have an empty line between them', () => {
  const problem = warning({ line: 1, column: 1, length: 4 }, 'Wrong.')
  expect(renderProblems([problem, problem], text, 'a').split('\n\n')).toHaveLength(2)
  expect(renderProblems([], text, 'a')).toBe('')
})
