// Lights, their tips, and the radiometers that they are checked with, as they stand in the practice's books.
#pragma once

#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::fleet {

struct LightEntry {
  using Kind = base::LightKind;
  base::RoomId room;
  std::string name;  ///< what the practice calls it
  std::string serial;
  std::optional<double> claimed_mw_cm2;        ///< radiant exitance that its maker claims
  std::optional<std::string> approval_number;  ///< national approval, as on its papers
  std::optional<std::string> approved_by;      ///< the body that issued it
  std::optional<std::string> bought_in;        ///< market of purchase
  std::optional<base::Instant> warranty_until;
  std::optional<base::Instant> accepted_at;  ///< papers complete, claim against first readings; none: not in use
  std::optional<base::Instant> withdrawn_at;
  static constexpr auto fields() {
    using L = LightEntry;
    return std::tuple{base::field("room", &L::room),
                      base::field("name", &L::name),
                      base::field("serial", &L::serial),
                      base::field("claimed_mw_cm2", &L::claimed_mw_cm2),
                      base::field("approval_number", &L::approval_number),
                      base::field("approved_by", &L::approved_by),
                      base::field("bought_in", &L::bought_in),
                      base::field("warranty_until", &L::warranty_until),
                      base::field("accepted_at", &L::accepted_at),
                      base::field("withdrawn_at", &L::withdrawn_at)};
  }
  friend bool operator==(const LightEntry&, const LightEntry&) = default;
};

struct TipEntry {
  using Kind = base::TipKind;
  base::LightId light;
  std::string name;
  double diameter_mm = 0;  ///< optical
  static constexpr auto fields() {
    return std::tuple{base::field("light", &TipEntry::light), base::field("name", &TipEntry::name),
                      base::field("diameter_mm", &TipEntry::diameter_mm)};
  }
  friend bool operator==(const TipEntry&, const TipEntry&) = default;
};

struct RadiometerEntry {
  using Kind = base::RadiometerKind;
  std::string name;
  std::string serial;
  std::optional<double> aperture_mm;
  std::optional<base::Instant> certificate_until;
  static constexpr auto fields() {
    using R = RadiometerEntry;
    return std::tuple{base::field("name", &R::name), base::field("serial", &R::serial),
                      base::field("aperture_mm", &R::aperture_mm),
                      base::field("certificate_until", &R::certificate_until)};
  }
  friend bool operator==(const RadiometerEntry&, const RadiometerEntry&) = default;
};

}  // namespace throughcure::fleet
