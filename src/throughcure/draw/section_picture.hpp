// The section drawing: the tooth cut through, its resin filled by conversion, the criterion as a contour, the tips.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/draw/look.hpp"
#include "throughcure/draw/picture.hpp"
#include "throughcure/draw/section_base.hpp"
#include "throughcure/plan/verdict.hpp"

namespace throughcure::draw {

/// What a pose changes. Any of it may be empty.
struct SectionShown {
  std::vector<plan::FieldPoint> field;  ///< in the plane of the cut; an increment without any is "not yet lit"
  std::vector<plan::CellVerdict> cells;
  std::optional<std::size_t> worst{};  ///< index into `cells`: named, if it lies in the cut
  std::vector<plan::TipPlace> tips;
  double criterion = 0.80;     ///< hardness ratio of the contour
  double through_from = 0.95;  ///< probability from which a cell cures through; policy, see plan's verdict
  double under_to = 0.50;      ///< and up to which it stays soft
};

/// Conversion at which the ramp ends; more is drawn as this.
inline constexpr double kFullConversion = 0.75;

/// A sheet 100 mm wide: heading, drawing, the worst cell's words, a millimetre rule and the conversion ramp's strip.
/// Takes a few milliseconds.
Picture section_picture(const SectionBase& base, const SectionShown& shown, const Look& look = kLightLook);

/// "cures through", "uncertain" or "stays soft": what a cell does, by its own probability.
std::string cell_words(const plan::CellVerdict& cell, const SectionShown& shown);

}  // namespace throughcure::draw
