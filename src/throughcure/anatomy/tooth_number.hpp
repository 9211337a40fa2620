// Which tooth: its number in ISO 3950 or Universal notation, its class, arch and side.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace throughcure::anatomy {

enum class ToothClass : std::uint8_t { kIncisor, kCanine, kPremolar, kMolar };
enum class Arch : std::uint8_t { kUpper, kLower };
enum class Side : std::uint8_t { kRight, kLeft };  ///< of the patient

enum class ToothNotation : std::uint8_t { kIso3950, kUniversal };

constexpr std::string_view word(ToothClass tooth_class) {
  switch (tooth_class) {
    case ToothClass::kIncisor:
      return "incisor";
    case ToothClass::kCanine:
      return "canine";
    case ToothClass::kPremolar:
      return "premolar";
    case ToothClass::kMolar:
      return "molar";
  }
  return "";
}
constexpr std::string_view word(Arch arch) { return arch == Arch::kUpper ? "upper" : "lower"; }
constexpr std::string_view word(Side side) { return side == Side::kRight ? "right" : "left"; }

/// A permanent tooth: quadrant 1 to 4 (upper right, upper left, lower left, lower right), position 1 (next to the
/// midline) to 8.
class ToothNumber {
 public:
  /// From ISO 3950, two digits: 46 is the lower right first molar. Nothing where there is no such permanent tooth.
  static std::optional<ToothNumber> from_iso(int number);
  /// From the Universal notation, 1 (upper right third molar) to 32 (lower right third molar).
  static std::optional<ToothNumber> from_universal(int number);

  [[nodiscard]] int iso() const { return 10 * quadrant_ + position_; }
  [[nodiscard]] int universal() const;
  [[nodiscard]] int position() const { return position_; }
  [[nodiscard]] ToothClass tooth_class() const;
  [[nodiscard]] Arch arch() const { return quadrant_ <= 2 ? Arch::kUpper : Arch::kLower; }
  [[nodiscard]] Side side() const { return quadrant_ == 1 || quadrant_ == 4 ? Side::kRight : Side::kLeft; }
  /// "lower right first molar"
  [[nodiscard]] std::string name() const;
  /// As it is written: "46", or "30 (Universal)", for many a number is a tooth in both notations.
  [[nodiscard]] std::string text(ToothNotation notation) const;
  bool operator==(const ToothNumber&) const = default;

 private:
  ToothNumber(int quadrant, int position) : quadrant_(quadrant), position_(position) {}
  int quadrant_;
  int position_;
};

}  // namespace throughcure::anatomy
