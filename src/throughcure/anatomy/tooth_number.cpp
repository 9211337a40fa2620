#include "throughcure/anatomy/tooth_number.hpp"

namespace throughcure::anatomy {

std::optional<ToothNumber> ToothNumber::from_iso(int number) {
  const int quadrant = number / 10;
  const int position = number % 10;
  if (number < 0 || quadrant < 1 || quadrant > 4 || position < 1 || position > 8) return std::nullopt;
  return ToothNumber(quadrant, position);
}

std::optional<ToothNumber> ToothNumber::from_universal(int number) {
  if (number < 1 || number > 32) return std::nullopt;
  // Counted clockwise as seen from in front: each quadrant in turn, towards the midline in the odd ones.
  const int quadrant = 1 + (number - 1) / 8;
  const int within = 1 + (number - 1) % 8;
  return ToothNumber(quadrant, quadrant % 2 == 1 ? 9 - within : within);
}

int ToothNumber::universal() const { return 8 * (quadrant_ - 1) + (quadrant_ % 2 == 1 ? 9 - position_ : position_); }

ToothClass ToothNumber::tooth_class() const {
  if (position_ <= 2) return ToothClass::kIncisor;
  if (position_ == 3) return ToothClass::kCanine;
  return position_ <= 5 ? ToothClass::kPremolar : ToothClass::kMolar;
}

std::string ToothNumber::name() const {
  constexpr std::string_view of_position[] = {"central incisor", "lateral incisor", "canine",       "first premolar",
                                              "second premolar", "first molar",     "second molar", "third molar"};
  return std::string(word(arch())) + " " + std::string(word(side())) + " " + std::string(of_position[position_ - 1]);
}

std::string ToothNumber::text(ToothNotation notation) const {
  return notation == ToothNotation::kUniversal ? std::to_string(universal()) + " (Universal)" : std::to_string(iso());
}

}  // namespace throughcure::anatomy
