/** Where words stand in a text, whatever their case. */
export function placesOf(text: string, words: string): readonly number[] {
  if (words === '') return []
  const [all, wanted] = [lower(text), lower(words)]
  const places: number[] = []
  for (let at = all.indexOf(wanted); at !== -1; at = all.indexOf(wanted, at + wanted.length)) places.push(at)
  return places
}

/** Letters that would be longer in lower case stay as they are, so that places are those of the text. */
function lower(text: string): string {
  const all = text.toLowerCase()
  return all.length === text.length ? all : text.replace(/[A-Z]/g, letter => letter.toLowerCase())
}
