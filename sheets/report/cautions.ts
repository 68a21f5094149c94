/** What is said wherever settings are given. Common practice of the trade, no source. */
export const CAUTIONS =
  'A paper study: certified motors, a licensed range, local law and the range safety officer decide; ' +
  'a flight surgeon sets the limits of any rider.'
