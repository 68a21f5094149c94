/** "a", "a and b", "a, b and c". */
export function listed(words: readonly string[], before = 'and'): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} ${before} ${words.at(-1)}`
}
