/** A slot of a block: what dimension it wants (a unit of it), what stands in when it is not written, and whether this version knows it. */
export interface SlotEntry {
  readonly name: string
  readonly unit: string
  /** A quantity as `tidy` would write it, or null: the slot must be given. `none`: without it there is simply no such thing. */
  readonly standard: string | null | 'none'
  readonly later?: true
}

const slot = (name: string, unit: string, standard: SlotEntry['standard'] = null): SlotEntry => ({
  name,
  unit,
  standard,
})
const later = (name: string, unit: string): SlotEntry => ({ name, unit, standard: 'none', later: true })

export const FLIGHT_SLOTS: readonly SlotEntry[] = [
  slot('launch altitude', 'm', '0 m'),
  later('rail elevation', 'rad'),
  later('rail length', 'm'),
  later('nose radius', 'm'),
]

export const STAGE_SLOTS: readonly SlotEntry[] = [
  slot('dry mass', 'kg'),
  slot('propellant mass', 'kg', '0 kg'),
  slot('vacuum thrust', 'N'),
  slot('sea level thrust', 'N', 'none'),
  slot('specific impulse', 's'),
  later('rated burn time', 's'),
  later('total impulse', 'N*s'),
  slot('throttle cap', '1', '100 %'),
  later('thrust curve', 'N'),
  slot('reference area', 'm^2', 'none'),
  slot('diameter', 'm', 'none'),
  slot('drag coefficient', '1', '1'),
  later('separation delay', 's'),
  later('ignition delay', 's'),
]

export const BODY_SLOTS: readonly SlotEntry[] = [
  slot('radius', 'm'),
  slot('surface gravity', 'm/s^2'),
  slot('surface pressure', 'Pa', 'none'),
  slot('surface density', 'kg/m^3', 'none'),
  slot('scale height', 'm', 'none'),
  slot('sound speed', 'm/s', 'none'),
  slot('atmosphere top', 'm', 'none'),
  slot('space boundary', 'm', 'none'),
  later('air table', '1'),
  later('heating constant', 'kg^0.5/m'),
]
