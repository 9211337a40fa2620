#include "throughcure/draw/section_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numbers>
#include <optional>
#include <tuple>
#include <utility>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/isolines.hpp"
#include "throughcure/draw/ramps.hpp"
#include "throughcure/draw/section_marks.hpp"
#include "throughcure/draw/section_names.hpp"
#include "throughcure/draw/section_resin.hpp"
#include "throughcure/draw/section_tip.hpp"

namespace throughcure::draw {

namespace {

constexpr double kHeading_mm = 4.8;
constexpr double kLane_mm = 19;  // under the section: the words for the worst cell
constexpr double kRow_mm = 13;   // rule and strip

std::optional<Colour> fill_of(Tissue tissue, const Look& look) {
  switch (tissue) {
    case Tissue::kNeighbourDentine:
      return look.neighbour_dentine;
    case Tissue::kNeighbourEnamel:
      return look.neighbour_enamel;
    case Tissue::kGingiva:
      return look.gingiva;
    case Tissue::kDentine:
      return look.dentine;
    case Tissue::kPulp:
      return look.pulp;
    case Tissue::kEnamel:
      return look.enamel;
    case Tissue::kWedge:
    case Tissue::kDam:
      return look.wedge;
    case Tissue::kAdhesive:
      return look.paper;
    case Tissue::kResin:
    case Tissue::kBand:
      break;
  }
  return std::nullopt;
}

void add_tissues(std::vector<Mark>& marks, const SectionBase& base, const Look& look) {
  for (const Area& area : base.areas) {
    if (const auto fill = fill_of(area.tissue, look)) marks.emplace_back(Polygon{.rings = area.rings, .colour = *fill});
  }
  for (const Area& area : base.areas) {
    if (area.tissue == Tissue::kResin || area.tissue == Tissue::kBand || area.tissue == Tissue::kAdhesive) continue;
    const bool far = area.tissue == Tissue::kNeighbourDentine || area.tissue == Tissue::kNeighbourEnamel;
    for (const Line& line : area.lines) {
      marks.emplace_back(Stroke{.line = line, .width_mm = far ? 0.18 : 0.28, .colour = look.line});
    }
  }
}

void add_band(std::vector<Mark>& marks, const SectionBase& base, const Look& look) {
  for (const Area& area : base.areas) {
    if (area.tissue != Tissue::kBand) continue;
    marks.emplace_back(Polygon{.rings = area.rings, .colour = look.ink});
    for (const Line& line : area.lines) marks.emplace_back(Stroke{.line = line, .width_mm = 0.22, .colour = look.ink});
  }
}

/// Light letters on dark resin, dark ones on light resin, each with a rim of the resin's colour.
std::pair<Colour, Colour> pen_on(double conversion) {
  const OkLab ground = conversion_ramp(conversion / kFullConversion);
  Colour rim = to_colour(ground);
  rim.alpha = 225;
  return {ground.lightness < 0.56 ? kWhite : kInk, rim};
}

/// Conversion at the lit place of an increment that is nearest to a place; nothing where it is not lit.
std::optional<double> conversion_near(const SectionBase& base, const SectionShown& shown, std::size_t increment,
                                      const Place& place) {
  std::optional<double> conversion;
  double least = 0;
  for (const plan::FieldPoint& p : shown.field) {
    if (p.increment != increment) continue;
    const Place at = base.scale.at(p.at);
    const double distance = std::hypot(at.x_mm - place.x_mm, at.y_mm - place.y_mm);
    if (conversion && distance >= least) continue;
    conversion = p.conversion;
    least = distance;
  }
  return conversion;
}

void add_name(std::vector<Mark>& marks, const SectionBase& base, const SectionShown& shown, const Look& look,
              const Name& name) {
  const double drop = 0.36 * kSmall_mm;
  Text text{.at = {name.middle.x_mm + (name.upright ? drop : 0), name.middle.y_mm + (name.upright ? 0 : drop)},
            .words = name.words,
            .size_mm = kSmall_mm,
            .colour = look.ink,
            .align = Align::kMiddle,
            .turn_rad = name.upright ? -std::numbers::pi / 2 : 0};
  if (name.from) {
    const Place to = nearest_in(box_of_words(name.words, name.middle, kSmall_mm), *name.from);
    marks.emplace_back(Stroke{.line = {*name.from, to}, .width_mm = 0.22, .colour = look.ink});
  }
  if (name.increment) {
    const auto conversion = conversion_near(base, shown, *name.increment, name.middle);
    if (conversion && !name.from) std::tie(text.colour, text.halo) = pen_on(*conversion);
    if (!conversion && !name.from) {
      text.at.y_mm -= 0.6 * kSmall_mm;
      marks.emplace_back(Text{.at = {text.at.x_mm, text.at.y_mm + 1.25 * kSmall_mm},
                              .words = "not yet lit",
                              .size_mm = kSmall_mm,
                              .colour = look.faint_ink,
                              .align = Align::kMiddle});
    }
  }
  marks.emplace_back(std::move(text));
}

void add_heading(std::vector<Mark>& marks, const SectionBase& base, const Look& look) {
  marks.emplace_back(Text{.at = {kMargin_mm, 6.2}, .words = base.tooth, .size_mm = kHeading_mm, .colour = look.ink});
  marks.emplace_back(
      Text{.at = {kMargin_mm, 11.6}, .words = base.where, .size_mm = kSmall_mm, .colour = look.faint_ink});
  const double y = base.scale.corner.y_mm - 1.4;
  marks.emplace_back(
      Text{.at = {base.scale.corner.x_mm, y}, .words = base.left, .size_mm = kSmall_mm, .colour = look.ink});
  marks.emplace_back(Text{.at = {base.scale.corner.x_mm + base.scale.width_mm(), y},
                          .words = base.right,
                          .size_mm = kSmall_mm,
                          .colour = look.ink,
                          .align = Align::kEnd});
}

/// Five of the tooth's millimetres, to scale.
void add_rule(std::vector<Mark>& marks, const SectionBase& base, const Look& look, double y_mm) {
  constexpr int last = 5;
  const auto at = [&](int mm) { return kMargin_mm + 0.6 + mm * base.scale.per_mm; };
  marks.emplace_back(Stroke{.line = {{at(0), y_mm}, {at(last), y_mm}}, .width_mm = 0.25, .colour = look.ink});
  for (int mm = 0; mm <= last; ++mm) {
    const double tick = mm % last == 0 ? 2.2 : 1.4;
    marks.emplace_back(Stroke{.line = {{at(mm), y_mm}, {at(mm), y_mm + tick}}, .width_mm = 0.25, .colour = look.ink});
  }
  marks.emplace_back(Text{.at = {kMargin_mm, y_mm + 6}, .words = "0", .size_mm = kSmall_mm, .colour = look.faint_ink});
  marks.emplace_back(Text{.at = {at(last), y_mm + 6},
                          .words = "5 mm",
                          .size_mm = kSmall_mm,
                          .colour = look.faint_ink,
                          .align = Align::kMiddle});
}

/// The ramp with its numbers.
void add_strip(std::vector<Mark>& marks, const Look& look, double y_mm) {
  constexpr double wide = 46;
  constexpr double high = 3.2;
  constexpr int steps = 48;
  const double left = kSheet_mm - kMargin_mm - wide - 3;
  const auto from = [&](double at) {
    return Line{{left + at, y_mm}, {left + wide, y_mm}, {left + wide, y_mm + high}, {left + at, y_mm + high}};
  };
  const Line rim = from(0);
  Shading ramp{.clip = {rim}, .areas = {}};
  for (int i = 0; i < steps; ++i) {
    ramp.areas.push_back({.rings = {from(wide * i / steps)}, .colour = to_colour(conversion_ramp((i + 0.5) / steps))});
  }
  marks.emplace_back(std::move(ramp));
  marks.emplace_back(Stroke{.line = rim, .closed = true, .width_mm = 0.18, .colour = look.line});
  marks.emplace_back(Text{.at = {left, y_mm - 1.3}, .words = "conversion", .size_mm = kSmall_mm, .colour = look.ink});
  for (const double x : {0.0, 0.25, 0.5, kFullConversion}) {
    const double at = left + wide * x / kFullConversion;
    marks.emplace_back(
        Stroke{.line = {{at, y_mm + high}, {at, y_mm + high + 1}}, .width_mm = 0.18, .colour = look.line});
    marks.emplace_back(Text{.at = {at, y_mm + high + 4.4},
                            .words = decimal(100 * x, 0) + (x == kFullConversion ? " %" : ""),
                            .size_mm = kSmall_mm,
                            .colour = look.faint_ink,
                            .align = Align::kMiddle});
  }
}

/// In the place of the worst cell's words, where nothing is lit.
void add_unlit(std::vector<Mark>& marks, const SectionBase& base, const Look& look) {
  const bool any = std::ranges::any_of(base.areas, [](const Area& area) { return area.tissue == Tissue::kResin; });
  const double bottom = base.scale.corner.y_mm + base.scale.height_mm();
  marks.emplace_back(Text{.at = {kSheet_mm / 2, bottom + 4.6},
                          .words = any ? "the resin is not yet lit" : "no resin in this cut",
                          .size_mm = kSmall_mm,
                          .colour = look.ink,
                          .align = Align::kMiddle});
}

std::string percent(double share) { return decimal(100 * share, 0) + " %"; }

/// The picture in words.
std::string described(const SectionBase& base, const SectionShown& shown, const Contour& contour) {
  std::string words = base.tooth + ", " + base.where + "; " + base.left + " on the left, cusps up. Shown: ";
  for (std::size_t i = 0; i < base.names.size(); ++i) words += (i > 0 ? ", " : "") + base.names[i].words;
  words += ". ";
  if (contour.any) {
    words += "Conversion in the lit resin from " + percent(contour.least_conversion) + " to " +
             percent(contour.most_conversion) + "; " + percent(contour.softer_share) +
             " of it in this cut is softer than the hardness ratio of " + decimal(shown.criterion, 2) + ". ";
  } else {
    words += "No resin in this cut is lit yet. ";
  }
  if (shown.worst) words += "Worst place: " + worst_words(base, shown) + ". ";
  for (const plan::TipPlace& tip : shown.tips) words += tip_words(base, tip) + " ";
  if (!words.empty() && words.back() == ' ') words.pop_back();
  return words;
}

}  // namespace

Picture section_picture(const SectionBase& base, const SectionShown& shown, const Look& look) {
  const double bottom = base.scale.corner.y_mm + base.scale.height_mm();
  Picture picture{.width_mm = kSheet_mm,
                  .height_mm = bottom + kLane_mm + kRow_mm,
                  .paper = look.paper,
                  .marks = {},
                  .description = {}};
  add_beams(picture.marks, base, shown.tips, look);
  add_tissues(picture.marks, base, look);
  const Contour contour = add_resin(picture.marks, base, shown, look);
  add_band(picture.marks, base, look);
  const std::vector<Box> written = add_tips(picture.marks, base, shown.tips, look);
  for (const Name& name : base.names) add_name(picture.marks, base, shown, look, name);
  add_contour_name(picture.marks, base, shown, contour, written, look);
  add_cells(picture.marks, base, shown, look);
  add_heading(picture.marks, base, look);
  add_rule(picture.marks, base, look, bottom + kLane_mm);
  if (contour.any) add_strip(picture.marks, look, bottom + kLane_mm);
  if (!contour.any && !shown.worst) add_unlit(picture.marks, base, look);
  picture.description = described(base, shown, contour);
  return picture;
}

}  // namespace throughcure::draw
