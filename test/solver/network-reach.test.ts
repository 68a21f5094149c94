import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'
import { leversAt } from '../../solver/index.ts'
import { smallHop } from '../support/small-hop.ts'

/** A figure made of some that come before it: what it reads, by place, and how it is written. */
const figure = fc.record({
  reads: fc.tuple(fc.nat(), fc.nat(), fc.nat(), fc.nat()),
  form: fc.constantFrom<(a: string, b: string, c: string, d: string) => readonly [string, number]>(
    a => [`2 * ${a}`, 1],
    a => [`abs(${a})`, 1],
    (a, b) => [`${a} + 3 * ${b}`, 2],
    (a, b) => [`max(${a}, ${b})`, 2],
    (a, b, c) => [`${a} * ${b} - ${c}`, 3],
    (a, b, c, d) => [`if ${a} > ${b} then ${c} else ${d}`, 4],
    a => [`air pressure(${a} * 1 km) of Earth / 1 Pa`, 1],
  ),
})

// Source: the definition, by what is written: a quantity hangs on all levers of what it reads.
test('the levers that reach a quantity are those of all that it reads, however many there are', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.array(figure, { minLength: 2, maxLength: 25 }),
      fc.nat(),
      fc.nat(),
      (levers, figures, propellant, area) => {
        const names = [...Array(levers).keys()].map(l => `l${l}`)
        const hangs = names.map(name => new Set([name]))
        const lines = names.map(name => `lever ${name} from 0 to 1`)
        names.push('two')
        hangs.push(new Set())
        lines.push('fact two = 2')
        for (const [f, { reads, form }] of figures.entries()) {
          const places = reads.map(read => read % names.length)
          const [text, count] = form(...(places.map(place => names[place]!) as [string, string, string, string]))
          lines.push(`figure f${f} = ${text}`)
          hangs.push(new Set(places.slice(0, count).flatMap(place => [...hangs[place]!])))
          names.push(`f${f}`)
        }
        const [load, canopy] = [propellant % names.length, area % names.length]
        const text = `${lines.join('\n')}\n${smallHop(`(20 + ${names[load]}) * 1 kg`, `(5 + ${names[canopy]}) * 1 m^2`)}`
        const { state } = openSession(compileSheet(open(text, null)), {})
        const { program } = state
        const { ids } = open(text, null).opened
        const reaching = (name: string): string[] =>
          leversAt(program, program.slots[ids.get(name)!]!)
            .map(lever => program.model.quantities[program.levers[lever]!]!.name)
            .sort()
        for (const [place, name] of names.entries())
          expect([name, reaching(name)]).toEqual([name, [...hangs[place]!].sort()])
        const all = [...new Set([...hangs[load]!, ...hangs[canopy]!])].sort()
        expect(reaching('apoapsis')).toEqual(all)
        expect(reaching('touchdown speed')).toEqual(all)
        expect(program.flights[0]!.levers.length).toBe(all.length)
        // Where the canopy is sound the ascent hangs on the load alone.
        const sound = (name: string): number => {
          const row = program.tape.row[program.slots[ids.get(name)!]!]! * program.words
          return program.levers.filter((_, l) => (program.soundReach[row + (l >> 5)]! >>> (l & 31)) & 1).length
        }
        expect([sound('apoapsis'), sound('touchdown speed')]).toEqual([hangs[load]!.size, all.length])
      },
    ),
    { numRuns: 60 },
  )
})
