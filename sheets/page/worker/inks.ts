import type { Theme } from '../../picture/theme.ts'

/** The page's own inks: pictures follow its ground without being drawn anew. */
export const PAGE_THEME: Theme = {
  name: 'paper',
  ground: 'var(--ground)',
  field: 'var(--field)',
  ink: 'var(--ink)',
  pencil: 'var(--pencil)',
  room: 'var(--room)',
  limit: 'var(--limit)',
  short: 'var(--short)',
  hair: 'var(--hair)',
  wash: 'var(--wash)',
}
