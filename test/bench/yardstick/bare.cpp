// A yardstick for flights: one straight up and at rest at its apoapsis, by a plain Dormand–Prince 5(4) at a relative 1e-9 that finds no
// peaks and no losses, in air by the formulas of the 1976 standard below 86 km and none above. Read from the standard input:
//   dry mass, propellant mass [kg], vacuum and sea-level thrust [N], exhaust speed [m/s], throttle cap, drag area [m2],
//   the body's radius [m] and gravity [m/s2], sea-level pressure [Pa], the gas constant of air [J/(kg K)], where its layers end [m],
//   how many layers, and of each its base [geopotential m], temperature [K], lapse [K/m] and pressure [Pa];
// then, for every number that follows, so many flights are flown. Written for it: nanoseconds each, right-hand sides, apoapsis [m].
#include <chrono>
#include <cmath>
#include <cstdio>

struct Layer {
  double base, temperature, lapse, pressure;
  /** Where it ends, m above sea level. */
  double end;
};

static double dryMass, propellantMass, vacuumThrust, seaLevelThrust, exhaustSpeed, cap, dragArea;
static double radius, gravity, seaLevelPressure, gas, top;
static int layers;
static Layer air[16];
static long sides;

static double flow, burn;

/** Acceleration [m/s2] so long after release [s], at an altitude [m] and an upward speed [m/s], in the air of one layer, also beyond its end. */
static inline double rate(int k, bool burning, double t, double h, double v) {
  sides++;
  double pressure = 0, density = 0;
  const double near = radius / (radius + h);
  if (k < layers) {
    const Layer &layer = air[k];
    const double above = h * near - layer.base, warmth = layer.temperature + layer.lapse * above;
    pressure = layer.lapse == 0
      ? layer.pressure * std::exp(-gravity * above / (gas * layer.temperature))
      : layer.pressure * std::pow(warmth / layer.temperature, -gravity / (gas * layer.lapse));
    density = pressure / (gas * warmth);
  }
  const double thrust = burning ? cap * (vacuumThrust - (vacuumThrust - seaLevelThrust) * pressure / seaLevelPressure) : 0;
  const double mass = burning ? dryMass + propellantMass - flow * t : dryMass;
  return (thrust - 0.5 * density * dragArea * v * std::fabs(v)) / mass - gravity * near * near;
}

/** Flies once; gives the altitude [m] where it stands still. */
static double fly() {
  double t = 0, h = 0, v = 0, step = 0.5;
  // How long a step was before it was cut short to land on something, so that the next goes on at that pace.
  double pace = 0;
  // What a speed and an altitude are measured by near zero: 3 % of the ideal speed, and what it would coast to.
  const double fast = 0.03 * exhaustSpeed * std::log(1 + propellantMass / dryMass), high = fast * fast / (2 * gravity);
  bool burning = true;
  int k = 0;
  double a1 = rate(k, burning, t, h, v);
  for (int n = 0; n < 5000; n++) {
    bool ends = false;
    if (burning && t + step >= burn) {
      pace = step;
      step = burn - t;
      ends = true;
    }
    // Dormand & Prince, J. Comput. Appl. Math. 6 (1980): seven stages, first same as last.
    const double s = step;
    const double v2 = v + s * (a1 / 5);
    const double a2 = rate(k, burning, t + s / 5, h + s * (v / 5), v2);
    const double v3 = v + s * (3.0 / 40 * a1 + 9.0 / 40 * a2);
    const double a3 = rate(k, burning, t + s * 0.3, h + s * (3.0 / 40 * v + 9.0 / 40 * v2), v3);
    const double v4 = v + s * (44.0 / 45 * a1 - 56.0 / 15 * a2 + 32.0 / 9 * a3);
    const double a4 = rate(k, burning, t + s * 0.8, h + s * (44.0 / 45 * v - 56.0 / 15 * v2 + 32.0 / 9 * v3), v4);
    const double v5 = v + s * (19372.0 / 6561 * a1 - 25360.0 / 2187 * a2 + 64448.0 / 6561 * a3 - 212.0 / 729 * a4);
    const double a5 = rate(k, burning, t + s * (8.0 / 9),
      h + s * (19372.0 / 6561 * v - 25360.0 / 2187 * v2 + 64448.0 / 6561 * v3 - 212.0 / 729 * v4), v5);
    const double v6 = v + s * (9017.0 / 3168 * a1 - 355.0 / 33 * a2 + 46732.0 / 5247 * a3 + 49.0 / 176 * a4 - 5103.0 / 18656 * a5);
    const double a6 = rate(k, burning, t + s,
      h + s * (9017.0 / 3168 * v - 355.0 / 33 * v2 + 46732.0 / 5247 * v3 + 49.0 / 176 * v4 - 5103.0 / 18656 * v5), v6);
    const double v7 = v + s * (35.0 / 384 * a1 + 500.0 / 1113 * a3 + 125.0 / 192 * a4 - 2187.0 / 6784 * a5 + 11.0 / 84 * a6);
    const double h7 = h + s * (35.0 / 384 * v + 500.0 / 1113 * v3 + 125.0 / 192 * v4 - 2187.0 / 6784 * v5 + 11.0 / 84 * v6);
    const double a7 = rate(k, burning, t + s, h7, v7);
    const double eh = s * (71.0 / 57600 * v - 71.0 / 16695 * v3 + 71.0 / 1920 * v4 - 17253.0 / 339200 * v5 + 22.0 / 525 * v6 - v7 / 40);
    const double ev = s * (71.0 / 57600 * a1 - 71.0 / 16695 * a3 + 71.0 / 1920 * a4 - 17253.0 / 339200 * a5 + 22.0 / 525 * a6 - a7 / 40);
    const double error = std::fmax(std::fabs(eh) / (1e-9 * (std::fabs(h7) + high)), std::fabs(ev) / (1e-9 * (std::fabs(v7) + fast)));
    double next = error > 0 ? 0.9 * std::pow(error, -0.2) : 5;
    next = next < 0.2 ? 0.2 : next > 5 ? 5 : next;
    if (error <= 1) {
      if (v7 <= 0 && !burning) {
        // Past its top: the same step again, as long as a parabola says, which is as near as its height can be told.
        if (v7 > -1e-3) return h7;
        step = s * v / (v - v7);
        continue;
      }
      // Past its layer's end: the same step again, up to there. What it is off by then, a metre at most, changes nothing that is seen.
      if (k < layers && h7 > air[k].end + 1) {
        if (pace < s) pace = s;
        step = s * (air[k].end - h) / (h7 - h);
        continue;
      }
      t += s;
      h = h7;
      v = v7;
      a1 = a7;
      const bool above = k < layers && h > air[k].end - 1;
      if (above) k++;
      if (ends) burning = false;
      if (above || ends) a1 = rate(k, burning, t, h, v);
    }
    step = error <= 1 && pace > s * next ? pace : s * next;
    pace = 0;
  }
  return NAN;
}

int main() {
  if (std::scanf("%lf %lf %lf %lf %lf %lf %lf %lf %lf %lf %lf %lf %d", &dryMass, &propellantMass, &vacuumThrust, &seaLevelThrust,
        &exhaustSpeed, &cap, &dragArea, &radius, &gravity, &seaLevelPressure, &gas, &top, &layers) != 13) return 1;
  if (layers < 1 || layers > 16) return 1;
  for (int k = 0; k < layers; k++)
    if (std::scanf("%lf %lf %lf %lf", &air[k].base, &air[k].temperature, &air[k].lapse, &air[k].pressure) != 4) return 1;
  for (int k = 0; k < layers; k++) air[k].end = k + 1 < layers ? radius * air[k + 1].base / (radius - air[k + 1].base) : top;
  flow = cap * vacuumThrust / exhaustSpeed;
  burn = propellantMass / flow;
  int flights;
  while (std::scanf("%d", &flights) == 1) {
    double apoapsis = 0;
    const double usual = cap;
    sides = 0;
    const auto before = std::chrono::steady_clock::now();
    for (int n = 0; n < flights; n++) {
      // A hair of another cap each time, so that nothing can be worked out once for all.
      cap = usual * (1 - 1e-12 * n);
      apoapsis = fly();
    }
    const std::chrono::duration<double, std::nano> took = std::chrono::steady_clock::now() - before;
    cap = usual;
    std::printf("%.3f %.1f %.9f\n", took.count() / flights, double(sides) / flights, apoapsis);
    std::fflush(stdout);
  }
}
