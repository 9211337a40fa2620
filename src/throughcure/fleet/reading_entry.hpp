// One reading of a light's output as it was taken: with what, where, how, and when it arrived.
#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::fleet {

struct ReadingEntry {
  using Kind = base::ReadingKind;
  base::LightId light;
  base::TipId tip;
  base::RadiometerId radiometer;
  base::RoomId room;
  base::PersonId taken_by;
  base::Instant taken_at{};    ///< by the clock of the device it was taken with
  base::Instant arrived_at{};  ///< by the server's: a phone without a connection sends later
  std::string mode;
  double shown_mw_cm2 = 0;  ///< what the radiometer showed: relative output, never irradiance at the paste
  std::optional<double> second_of_press;
  bool barrier_on = false;
  bool tip_clean = true;
  std::optional<double> battery;  ///< level [0..1]
  std::optional<std::string> note;
  static constexpr auto fields() {
    using R = ReadingEntry;
    return std::tuple{base::field("light", &R::light),
                      base::field("tip", &R::tip),
                      base::field("radiometer", &R::radiometer),
                      base::field("room", &R::room),
                      base::field("taken_by", &R::taken_by),
                      base::field("taken_at", &R::taken_at),
                      base::field("arrived_at", &R::arrived_at),
                      base::field("mode", &R::mode),
                      base::field("shown_mw_cm2", &R::shown_mw_cm2),
                      base::field("second_of_press", &R::second_of_press),
                      base::field("barrier_on", &R::barrier_on),
                      base::field("tip_clean", &R::tip_clean),
                      base::field("battery", &R::battery),
                      base::field("note", &R::note, base::Privacy::kPrivate)};
  }
  friend bool operator==(const ReadingEntry&, const ReadingEntry&) = default;
};

}  // namespace throughcure::fleet
