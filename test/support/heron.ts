/** The reference sheet, in the standard layout. */
export const heron = `\
sheet "Heron 3, a hybrid sounding rocket"

fact  dry mass          = 165 kg         # airframe, recovery, camera payload
fact  full load         = 300 kg         # propellant, tanks filled to the top
fact  vacuum thrust     = 17.5 kN
fact  sea level thrust  = 15.4 kN
fact  specific impulse  = 242 s          # in vacuum
fact  reference area    = 0.125 m^2
fact  drag coefficient  = 0.42

lever fuel fraction  from 30 % to 100 % in steps of 1 %   # share of the full load
lever throttle cap   from 30 % to 100 % in steps of 1 %   # the valve is pinned before ignition

figure propellant mass = fuel fraction * full load

flight hop from Earth

must   liftoff ratio at least 2
must   peak g        at most  6 g0       # the camera mount
must   max q         at most  70 kPa
should apoapsis      within   100 km to 110 km
aim    least propellant mass
`
