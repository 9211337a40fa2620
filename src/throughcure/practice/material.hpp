// Materials and their lots, and what the practice measured of them itself: scrape tests, light through a cured disc.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

struct MaterialEntry {
  using Kind = base::MaterialKind;
  std::string name;
  std::string shade;
  std::optional<double> ifu_seconds{};       ///< exposure that its instructions ask for [s]
  std::optional<double> ifu_increment_mm{};  ///< thickest increment that they allow
  std::optional<std::string> file{};         ///< in the folder of materials, for planning
  static constexpr auto fields() {
    using M = MaterialEntry;
    return std::tuple{base::field("name", &M::name), base::field("shade", &M::shade),
                      base::field("ifu_seconds", &M::ifu_seconds),
                      base::field("ifu_increment_mm", &M::ifu_increment_mm), base::field("file", &M::file)};
  }
  friend bool operator==(const MaterialEntry&, const MaterialEntry&) = default;
};

struct Lot {
  using Kind = base::LotKind;
  base::MaterialId material;
  std::string number;
  std::optional<base::Instant> expires_at{};
  static constexpr auto fields() {
    return std::tuple{base::field("material", &Lot::material), base::field("number", &Lot::number),
                      base::field("expires_at", &Lot::expires_at)};
  }
  friend bool operator==(const Lot&, const Lot&) = default;
};

/// Length that was left after the soft resin was scraped away (ISO 4049's depth of cure is half of it).
struct ScrapeTest {
  using Kind = base::ScrapeKind;
  base::MaterialId material;
  std::optional<base::LotId> lot{};
  base::LightId light;
  base::Instant at{};
  base::PersonId done_by;
  double seconds = 0;
  double left_mm = 0;
  double mould_diameter_mm = 4;
  bool mould_of_metal = true;
  static constexpr auto fields() {
    using S = ScrapeTest;
    return std::tuple{base::field("material", &S::material),
                      base::field("lot", &S::lot),
                      base::field("light", &S::light),
                      base::field("at", &S::at),
                      base::field("done_by", &S::done_by),
                      base::field("seconds", &S::seconds),
                      base::field("left_mm", &S::left_mm),
                      base::field("mould_diameter_mm", &S::mould_diameter_mm),
                      base::field("mould_of_metal", &S::mould_of_metal)};
  }
  friend bool operator==(const ScrapeTest&, const ScrapeTest&) = default;
};

/// What a radiometer showed through a cured disc, and without it.
struct DiscTest {
  using Kind = base::DiscKind;
  base::MaterialId material;
  std::optional<base::LotId> lot{};
  base::LightId light;
  base::RadiometerId radiometer;
  base::Instant at{};
  base::PersonId done_by;
  double thickness_mm = 0;
  double through_mw_cm2 = 0;
  double bare_mw_cm2 = 0;
  static constexpr auto fields() {
    using D = DiscTest;
    return std::tuple{base::field("material", &D::material),
                      base::field("lot", &D::lot),
                      base::field("light", &D::light),
                      base::field("radiometer", &D::radiometer),
                      base::field("at", &D::at),
                      base::field("done_by", &D::done_by),
                      base::field("thickness_mm", &D::thickness_mm),
                      base::field("through_mw_cm2", &D::through_mw_cm2),
                      base::field("bare_mw_cm2", &D::bare_mw_cm2)};
  }
  friend bool operator==(const DiscTest&, const DiscTest&) = default;
};

}  // namespace throughcure::practice
