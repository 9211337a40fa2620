// Lights as they may fail, drawn from none of the estimate's own assumptions: for tests of what it says of them.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <string_view>

#include "throughcure/base/random.hpp"
#include "throughcure/fleet/light_history.hpp"
#include "throughcure/fleet/normal.hpp"

namespace throughcure::fleet::invented {

inline base::Instant day(double days) { return {static_cast<std::int64_t>(days * 86'400e6)}; }

enum class Failing : std::uint8_t { kStep, kLinear, kWear, kBattery, kDirt };
inline constexpr std::array<std::string_view, 5> kWords = {"step", "linear", "wear", "battery", "dirt"};

/// Its history over a year, and its true output [mW/cm2] on any day.
struct Light {
  LightHistory history;
  std::function<double(double)> output;
  double shows = 1;  ///< of it, its radiometer
};

/// Claims are off by up to 26 % and the radiometer by up to 35 %, uniform, which has the spread that the model believes
/// in (0.15, 0.20) and another shape; a certificate by up to 9 %. Readings scatter by 2.5 % and are rounded to 10
/// mW/cm2; four weekly checks of five are made, now and then by a hand that reads 6 % less.
inline Light light(Failing how, std::uint64_t id, ClaimKind claim = ClaimKind::kMaker) {
  base::Stream stream(77, 3, id);
  const auto uniform = [&](double from, double to) { return from + (to - from) * stream.uniform(); };
  const double claimed = std::round(uniform(8, 16)) * 100;
  const double first = claimed * (claim == ClaimKind::kCertificate ? uniform(0.91, 1.09) : uniform(0.74, 1.26));
  const double shows = uniform(0.65, 1.35);
  const double a = stream.uniform();
  const double b = stream.uniform();
  Light light;
  light.shows = shows;
  light.history.claimed_mw_cm2 = claimed;
  light.history.claim = claim;
  light.history.radiometers = {{.aperture_mm = 8, .spectral_class = SpectralClass::kBroad}};
  light.history.tips = {{.diameter_mm = 8}};
  switch (how) {
    case Failing::kStep:  // a chip falls off, an emitter dies
      light.output = [=](double t) { return first * (t < 30 + 300 * a ? 1 : 0.5 + 0.45 * b); };
      break;
    case Failing::kLinear:  // up to 40 % of the first output a year
      light.output = [=](double t) { return first * (1 - 0.4 * a * t / 365); };
      break;
    case Failing::kWear:  // towards a rest, within months to a year
      light.output = [=](double t) { return first * (1 - (0.1 + 0.4 * a) * -std::expm1(-t / (60 + 340 * b))); };
      break;
    case Failing::kBattery:  // the cells give way faster and faster
      light.output = [=](double t) { return first * (1 - 0.25 * a * std::pow(t / 365, 2)); };
      break;
    case Failing::kDirt: {  // until somebody cleans it, and notes it in seven cases of ten
      const double cleaned = 100 + 200 * a;
      const double loss = 0.1 + 0.2 * b;
      light.output = [=](double t) { return first * (1 - loss * (t < cleaned ? t : t - cleaned) / cleaned); };
      if (stream.uniform() < 0.7) light.history.services = {{.at = day(cleaned), .what = Deed::kCleaned}};
      break;
    }
  }
  for (int check = 0; check <= 52; ++check) {
    const double scatter = 0.025 * standard_normal(stream) - (stream.uniform() < 0.04 ? 0.06 : 0);
    const double charge = how == Failing::kBattery ? uniform(0.95, 1) : 1;
    const bool made = check == 0 || stream.uniform() < 0.8;
    if (!made) continue;
    const double shown = light.output(7 * check) * shows * charge * std::exp(scatter);
    light.history.readings.push_back({.id = {check + 1},
                                      .at = day(7 * check),
                                      .shown_mw_cm2 = std::round(shown / 10) * 10,
                                      .second_of_press = 10,
                                      .purpose = check == 0 ? Purpose::kAcceptance : Purpose::kCheck});
  }
  return light;
}

}  // namespace throughcure::fleet::invented
