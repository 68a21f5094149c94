const LETTER = String.raw`\p{Script=Hebrew}\p{Script=Arabic}\p{Script=Syriac}\p{Script=Thaana}\p{Script=Nko}`

/** A stretch of words that are read from right to left, with the numbers inside it. */
export const RIGHT_TO_LEFT = new RegExp(`[${LETTER}](?:[${LETTER}\\p{M}\\p{N} ]*[${LETTER}\\p{M}])?`, 'gu')

/** The same words with such stretches set apart (FSI and PDI of Unicode): a number behind one would be drawn on its other side. */
export function setApart(words: string): string {
  return words.replace(RIGHT_TO_LEFT, stretch => `\u2068${stretch}\u2069`)
}
