// Lights, their tips, and the radiometers that they are checked with, as they stand in the practice's books.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::fleet {

struct LightEntry {
  using Kind = base::LightKind;
  base::RoomId room;
  std::string name;  ///< what the practice calls it
  std::string serial;
  std::optional<double> claimed_mw_cm2;        ///< radiant exitance that is claimed for it
  std::optional<std::string> approval_number;  ///< national approval, as on its papers
  std::optional<std::string> approved_by;      ///< the body that issued it
  std::optional<std::string> bought_in;        ///< market of purchase
  std::optional<base::Instant> warranty_until;
  std::optional<base::Instant> accepted_at;  ///< papers complete, claim against first readings; none: not in use
  std::optional<base::Instant> withdrawn_at;
  std::optional<std::string> refused_because{};  ///< why it was not accepted
  std::optional<std::string> check_mode{};       ///< mode that it is read in: readings of other modes do not compare
  std::optional<std::string> battery{};          ///< its kind; none: on a cord
  std::optional<std::string> file{};             ///< in the folder of lights: spectrum and beam, for planning
  std::optional<bool> emits_violet{};            ///< below some 420 nm, besides blue; none: not known
  std::optional<bool> claim_measured{};          ///< a laboratory measured this very light; else its maker claims it
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
                      base::field("withdrawn_at", &L::withdrawn_at),
                      base::field("refused_because", &L::refused_because, base::Privacy::kPrivate),
                      base::field("check_mode", &L::check_mode),
                      base::field("battery", &L::battery),
                      base::field("file", &L::file),
                      base::field("emits_violet", &L::emits_violet),
                      base::field("claim_measured", &L::claim_measured)};
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
  std::optional<std::string> spectral_class{};  ///< "blue" or "broad", as its maker says; other words: not known
  static constexpr auto fields() {
    using R = RadiometerEntry;
    return std::tuple{
        base::field("name", &R::name), base::field("serial", &R::serial), base::field("aperture_mm", &R::aperture_mm),
        base::field("certificate_until", &R::certificate_until), base::field("spectral_class", &R::spectral_class)};
  }
  friend bool operator==(const RadiometerEntry&, const RadiometerEntry&) = default;
};

/// What is pulled over a tip, with the share of light that it was measured to let through.
struct BarrierEntry {
  using Kind = base::BarrierKind;
  std::string name;
  double pass = 1;                  ///< share of light [0..1]
  std::optional<double> pass_sd{};  ///< of it
  std::string source;               ///< where the share comes from: "measured here", a data sheet
  static constexpr auto fields() {
    using B = BarrierEntry;
    return std::tuple{base::field("name", &B::name), base::field("pass", &B::pass), base::field("pass_sd", &B::pass_sd),
                      base::field("source", &B::source)};
  }
  friend bool operator==(const BarrierEntry&, const BarrierEntry&) = default;
};

/// A radiometer's calibration, as its certificate says.
struct CertificateEntry {
  using Kind = base::CertificateKind;
  base::RadiometerId radiometer;
  std::string number;
  std::string issued_by;
  base::Instant calibrated_at{};
  base::Instant valid_until{};
  std::optional<double> expanded_uncertainty{};  ///< relative, k = 2 [0..1]
  static constexpr auto fields() {
    using C = CertificateEntry;
    return std::tuple{
        base::field("radiometer", &C::radiometer),   base::field("number", &C::number),
        base::field("issued_by", &C::issued_by),     base::field("calibrated_at", &C::calibrated_at),
        base::field("valid_until", &C::valid_until), base::field("expanded_uncertainty", &C::expanded_uncertainty)};
  }
  friend bool operator==(const CertificateEntry&, const CertificateEntry&) = default;
};

enum class Deed : std::uint8_t {
  kCleaned,
  kTipReplaced,
  kBatteryReplaced,
  kRepaired,
  kDropped,
  kLent,
  kReturned,
  kOther
};

/// Something that was done to a light, or happened to it.
struct ServicingEntry {
  using Kind = base::ServicingKind;
  base::LightId light;
  base::Instant at{};
  base::PersonId told_by;
  Deed what = Deed::kOther;
  std::optional<base::RoomId> room{};  ///< that it was lent to, or came back from
  std::optional<std::string> note{};   ///< private
  static constexpr auto fields() {
    using S = ServicingEntry;
    return std::tuple{base::field("light", &S::light),     base::field("at", &S::at),
                      base::field("told_by", &S::told_by), base::field("what", &S::what),
                      base::field("room", &S::room),       base::field("note", &S::note, base::Privacy::kPrivate)};
  }
  friend bool operator==(const ServicingEntry&, const ServicingEntry&) = default;
};

}  // namespace throughcure::fleet

template <>
struct throughcure::base::Words<throughcure::fleet::Deed> {
  static constexpr std::array<std::string_view, 8> words = {"cleaned", "tip_replaced", "battery_replaced", "repaired",
                                                            "dropped", "lent",         "returned",         "other"};
};
