import type { Span } from '../../grammar/source.ts'
import type { BodyModel, Expr } from '../../solver/index.ts'
import type { Reading } from './open.ts'

/** A number of a body of the sheet's own, as a line of its block gives it. */
export interface BodyNumber {
  readonly body: string
  readonly place: number
  readonly slot: string
  readonly expr: Expr
  readonly span: Span
}

type OwnBody = Extract<BodyModel, { kind: 'own' }>

const TOLD: Readonly<Record<string, (body: OwnBody) => Expr | null | undefined>> = {
  radius: body => body.radius,
  'surface gravity': body => body.gravity,
  'surface pressure': body => body.air?.pressure,
  'surface density': body => body.air?.density,
  'scale height': body => body.air?.scaleHeight,
  'sound speed': body => body.air?.soundSpeed ?? body.tableSound,
  'atmosphere top': body => body.air?.top,
  'space boundary': body => body.space,
  'heating constant': body => body.heating,
}

/** The numbers that a sheet without errors gives its own bodies. */
export function bodyNumbers({ scope, surroundings, opened }: Reading): readonly BodyNumber[] {
  const bodies = [...scope.names.values()].filter(declared => declared.kind === 'body')
  return bodies.flatMap(declared => {
    const place = surroundings([]).body(declared.name, declared.name, declared.name.span)
    const body = place === null ? undefined : opened.model.bodies[place]
    if (body?.kind !== 'own') return []
    return declared.slots.flatMap(({ name, value }) => {
      const expr = TOLD[name.text]?.(body)
      return expr ? [{ body: declared.name.text, place: place!, slot: name.text, expr, span: value.span }] : []
    })
  })
}
