/** A flight of one small stage under a parachute, straight up: its propellant, its canopy's area and its name as expressions of a sheet. */
export function smallHop(propellant: string, area: string | null, name = 'hop'): string {
  const parachute = `  parachute main
    canopy area = ${area}
    drag coefficient = 0.8
    opening altitude = 2 km
`
  return `flight ${name} from Earth
  stage only
    dry mass = 100 kg
    propellant mass = ${propellant}
    vacuum thrust = 6 kN
    sea level thrust = 5.5 kN
    specific impulse = 220 s
    throttle cap = 1
    reference area = 0.1 m^2
    drag coefficient = 0.4
${area === null ? '' : parachute}`
}
