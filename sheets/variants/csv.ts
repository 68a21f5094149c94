/** How variants files are read: a row of a wrong length is a bad row and no end; lines that begin with # are comments. */
export const CSV = {
  bom: true,
  comment: '#',
  comment_no_infix: true,
  skip_empty_lines: true,
  trim: true,
  relax_column_count: true,
  relax_quotes: true,
} as const
