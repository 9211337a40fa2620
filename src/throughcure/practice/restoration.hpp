// A restoration as it was made: with what, by whom, and what its verdict was then.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct Restoration {
  using Kind = base::RestorationKind;
  std::string chart;     ///< chart number, private; no name of a patient is kept
  std::string tooth;     ///< ISO 3950
  std::string surfaces;  ///< "DO"
  base::Instant placed_at{};
  base::PersonId placed_by;
  base::LightId light;
  base::TipId tip;
  std::string material;
  std::string lot;
  std::optional<double> barrier_pass;        ///< share of light that the barrier let through [0..1]; none: no barrier
  std::optional<std::string> resolved_case;  ///< JSON of the case as solved, versioned
  std::optional<double> probability;         ///< that it cures through, as computed then [0..1]
  std::optional<std::int64_t> seed;          ///< of that computation
  std::optional<std::string> engine;         ///< that computed it
  std::optional<std::string> note;           ///< private
  std::optional<base::RoomId> room{};        ///< where its light was then; none: not kept yet, it goes with its light
  static constexpr auto fields() {
    using R = Restoration;
    return std::tuple{base::field("chart", &R::chart, base::Privacy::kPrivate),
                      base::field("tooth", &R::tooth),
                      base::field("surfaces", &R::surfaces, base::Privacy::kPrivate),
                      base::field("placed_at", &R::placed_at),
                      base::field("placed_by", &R::placed_by),
                      base::field("light", &R::light),
                      base::field("tip", &R::tip),
                      base::field("material", &R::material, base::Privacy::kPrivate),
                      base::field("lot", &R::lot, base::Privacy::kPrivate),
                      base::field("barrier_pass", &R::barrier_pass),
                      base::field("resolved_case", &R::resolved_case),
                      base::field("probability", &R::probability),
                      base::field("seed", &R::seed),
                      base::field("engine", &R::engine),
                      base::field("note", &R::note, base::Privacy::kPrivate),
                      base::field("room", &R::room)};
  }
  friend bool operator==(const Restoration&, const Restoration&) = default;
};

}  // namespace throughcure::practice
