#include "throughcure/draw/beam_map.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/draw/beam_field.hpp"
#include "throughcure/draw/isolines.hpp"
#include "throughcure/draw/ramps.hpp"
#include "throughcure/draw/round_levels.hpp"
#include "throughcure/draw/words.hpp"

namespace throughcure::draw {

namespace {

constexpr double kSheet_mm = 100;
constexpr double kMargin_mm = 8;
constexpr double kShown = 1.12;        // tip radii
constexpr double kLinesWithin = 0.96;  // tip radii: further out the tip's own edge bundles them
constexpr double kEven = 0.02;         // of the largest: what varies less has no lines
constexpr double kShortest = 0.2;      // of an isoline, by tip diameters: less is a speck or noise
constexpr std::size_t kAcross = 179;   // nodes over the field: 160 over the tip

constexpr double kHeading_mm = 4.4;
constexpr double kWords_mm = 3.1;
constexpr std::size_t kLetters = 48;  // of kWords_mm across the sheet, with room to spare
constexpr double kSmall_mm = 2.6;
constexpr Colour kRim{13, 27, 54, 215};  // lifts white words off a field that is bright there

/// From the tip's plane to the sheet.
struct Scale {
  Place middle;
  double per_mm = 0;

  [[nodiscard]] Place at(double x_mm, double down_mm) const {
    return {middle.x_mm + x_mm * per_mm, middle.y_mm + down_mm * per_mm};
  }
};

/// Light letters on dark ground, dark ones on light ground, each with a rim of the ground.
struct Pen {
  Colour colour;
  Colour halo;
};
Pen pen_on(double share) {
  const bool light = share > 0.55;
  return {light ? kInk : kWhite, to_colour(light_ramp(share))};
}

/// Numbers already set, so that no two of them lie on one another.
class Labels {
 public:
  /// A place at least `gap` away from every other label, or none.
  [[nodiscard]] bool free(const Place& place) const {
    return std::none_of(taken_.begin(), taken_.end(), [&](const Place& other) {
      return std::abs(other.x_mm - place.x_mm) < 12 && std::abs(other.y_mm - place.y_mm) < 4;
    });
  }
  void take(const Place& place) { taken_.push_back(place); }

 private:
  std::vector<Place> taken_;
};

/// Whole, but for a very weak light.
std::string short_number(double value) {
  const double parts = std::abs(value) < 10 ? 100 : 1;
  return base::number_text(std::round(value * parts) / parts);
}

class Sheet {
 public:
  Sheet(const BeamMapInput& input, double top_mm)
      : input_(input), radius_(input.tip_diameter_mm / 2), field_(sampled(input.mw_cm2, kShown * radius_, kAcross)) {
    const double field_mm = kSheet_mm - 2 * kMargin_mm;
    scale_ = {.middle = {kSheet_mm / 2, top_mm + field_mm / 2}, .per_mm = field_mm / (2 * kShown * radius_)};
    most_ = range_within(field_, radius_).most;
    least_ = std::max(0.0, range_within(field_, kLinesWithin * radius_).least);
  }

  [[nodiscard]] double bottom_mm() const { return scale_.middle.y_mm + kShown * radius_ * scale_.per_mm; }

  void add_field(std::vector<Mark>& marks) const {
    const Place corner = scale_.at(field_.first.x_mm - field_.step_mm / 2, field_.first.y_mm - field_.step_mm / 2);
    const double side = field_.step_mm * static_cast<double>(kAcross) * scale_.per_mm;
    Raster raster{.top_left = corner,
                  .width_mm = side,
                  .height_mm = side,
                  .columns = kAcross,
                  .rows = kAcross,
                  .colour = {},
                  .clip = circle(scale_.middle, kShown * radius_ * scale_.per_mm)};
    raster.colour.reserve(field_.value.size());
    for (const double value : field_.value) raster.colour.push_back(to_colour(light_ramp(value / most_)));
    marks.emplace_back(std::move(raster));
    marks.emplace_back(Stroke{.line = circle(scale_.middle, radius_ * scale_.per_mm),
                              .closed = true,
                              .width_mm = 0.25,
                              .colour = kWhite,
                              .dashes_mm = {0.8, 1.2}});
  }

  void add_isolines(std::vector<Mark>& marks) {
    const double within = kLinesWithin * radius_;
    const Lattice held = held_beyond(field_, input_.mw_cm2, within);
    if (most_ - least_ < kEven * most_) {
      const Pen pen = pen_on(1);
      marks.emplace_back(Text{.at = scale_.middle,
                              .words = short_number((least_ + most_) / 2) + " everywhere",
                              .size_mm = kSmall_mm,
                              .colour = pen.colour,
                              .align = Align::kMiddle,
                              .halo = pen.halo});
      return;
    }
    std::vector<double> levels = round_levels(least_, most_, 6);
    const auto special = std::find(levels.begin(), levels.end(), input_.below_mw_cm2);
    if (special == levels.end() && input_.below_mw_cm2 > 0 && input_.below_mw_cm2 < most_) {
      levels.push_back(input_.below_mw_cm2);
    }
    std::vector<Mark> words;
    for (const double level : levels) {
      const bool heavy = level == input_.below_mw_cm2;
      const Pen pen = pen_on(level / most_);
      const Line* longest = nullptr;
      std::vector<Isoline> shown;
      for (const Isoline& line : isolines(held, level)) {
        for (Isoline& piece : inside_circle(line, within)) {
          if (length_mm(piece.line) >= kShortest * input_.tip_diameter_mm) shown.push_back(std::move(piece));
        }
      }
      for (const Isoline& piece : shown) {
        if (longest == nullptr || length_mm(piece.line) > length_mm(*longest)) longest = &piece.line;
        marks.emplace_back(Stroke{.line = on_sheet(piece.line),
                                  .closed = piece.closed,
                                  .width_mm = heavy ? 0.5 : 0.22,
                                  .colour = pen.colour});
      }
      if (longest != nullptr) add_label(words, on_sheet(*longest), short_number(level), pen);
    }
    std::move(words.begin(), words.end(), std::back_inserter(marks));
  }

  /// Before the isolines, so that their numbers keep clear of it. An even tip has no spots.
  void add_spots(std::vector<Mark>& marks) {
    if (!input_.spots) return;
    const optics::Spots& spots = *input_.spots;
    if (spots.hottest.irradiance_mw_cm2 - spots.coldest.irradiance_mw_cm2 < kEven * most_) return;
    add_spot(marks, spots.hottest, spots.aperture_mm, "most");
    add_spot(marks, spots.coldest, spots.aperture_mm, "least");
  }

  /// In the dark rim under the tip.
  void add_edge_name(std::vector<Mark>& marks) const {
    const Place at = scale_.at(0, (1 + kShown) / 2 * radius_);
    marks.emplace_back(Text{.at = {at.x_mm, at.y_mm + 0.25 * kSmall_mm},
                            .words = "the tip's edge",
                            .size_mm = 0.85 * kSmall_mm,
                            .colour = kWhite,
                            .align = Align::kMiddle,
                            .halo = kRim});
  }

  /// Laid under the field, counting from the left edge of the tip.
  void add_rule(std::vector<Mark>& marks, double y_mm) const {
    const int last = static_cast<int>(std::floor(input_.tip_diameter_mm + 1e-9));
    const auto at = [&](int mm) { return scale_.at(mm - radius_, 0).x_mm; };
    marks.emplace_back(Stroke{.line = {{at(0), y_mm}, {at(last), y_mm}}, .colour = kInk});
    const int numbered = last > 12 ? 5 : 2;
    for (int mm = 0; mm <= last; ++mm) {
      const bool named = mm % numbered == 0;
      marks.emplace_back(Stroke{.line = {{at(mm), y_mm}, {at(mm), y_mm + (named ? 2.0 : 1.2)}}, .colour = kInk});
      if (!named) continue;
      marks.emplace_back(Text{.at = {at(mm), y_mm + 5},
                              .words = std::to_string(mm),
                              .size_mm = kSmall_mm,
                              .colour = kFaintInk,
                              .align = Align::kMiddle});
    }
    marks.emplace_back(Text{.at = {at(last) + 1, y_mm + 1}, .words = "mm", .size_mm = kSmall_mm, .colour = kFaintInk});
  }

 private:
  [[nodiscard]] Line on_sheet(const Line& line) const {
    Line out;
    out.reserve(line.size());
    for (const Place& p : line) out.push_back(scale_.at(p.x_mm, p.y_mm));
    return out;
  }

  /// Its ring, and its words: in the ring where there is room, else on the ring's side towards the middle.
  void add_spot(std::vector<Mark>& marks, const optics::Spot& spot, double aperture_mm, const std::string& word) {
    const Pen pen = pen_on(spot.irradiance_mw_cm2 / most_);
    const Place at = scale_.at(spot.x_mm, -spot.y_mm);
    const double ring = aperture_mm / 2 * scale_.per_mm;
    const std::string number = short_number(spot.irradiance_mw_cm2);
    marks.emplace_back(Stroke{
        .line = circle(at, ring), .closed = true, .width_mm = 0.3, .colour = pen.colour, .dashes_mm = {0.9, 0.7}});
    const auto write = [&](double offset_mm, const std::string& words) {
      marks.emplace_back(Text{.at = {at.x_mm, at.y_mm + offset_mm},
                              .words = words,
                              .size_mm = kSmall_mm,
                              .colour = pen.colour,
                              .align = Align::kMiddle,
                              .halo = pen.halo});
      labels_.take({at.x_mm, at.y_mm + offset_mm - 0.36 * kSmall_mm});
    };
    constexpr double roomy_mm = 4;
    if (ring >= roomy_mm) {
      write(-0.3, word);
      write(kSmall_mm, number);
    } else {
      const bool below = at.y_mm <= scale_.middle.y_mm;
      write(below ? ring + 1.1 * kSmall_mm : -ring - 0.4 * kSmall_mm, word + " " + number);
    }
  }

  /// On the line, upright, at the first of its places that is free: tried from its top, then further along.
  void add_label(std::vector<Mark>& words, const Line& line, const std::string& number, const Pen& pen) {
    const auto top =
        std::min_element(line.begin(), line.end(), [](const Place& a, const Place& b) { return a.y_mm < b.y_mm; });
    const auto first = static_cast<std::size_t>(top - line.begin());
    for (std::size_t k = 0; k < line.size(); ++k) {
      const Place& here = line[(first + k) % line.size()];
      if (!labels_.free(here)) continue;
      labels_.take(here);
      words.emplace_back(Text{.at = {here.x_mm, here.y_mm + 0.36 * kSmall_mm},
                              .words = number,
                              .size_mm = kSmall_mm,
                              .colour = pen.colour,
                              .align = Align::kMiddle,
                              .halo = pen.halo});
      return;
    }
  }

  const BeamMapInput& input_;
  double radius_;
  Lattice field_;
  Scale scale_;
  double most_ = 0;   // on the tip [mW/cm2]
  double least_ = 0;  // where isolines may lie
  Labels labels_;
};

}  // namespace

Picture beam_map(const BeamMapInput& input) {
  Picture picture{.width_mm = kSheet_mm, .height_mm = 0, .marks = {}, .description = input.sentence};
  double y = kMargin_mm + kHeading_mm * 0.8;
  picture.marks.emplace_back(
      Text{.at = {kMargin_mm, y}, .words = input.heading, .size_mm = kHeading_mm, .colour = kInk});
  y += kWords_mm * 0.6;
  for (const std::string& line : broken(input.sentence, kLetters)) {
    y += kWords_mm * 1.5;
    picture.marks.emplace_back(Text{.at = {kMargin_mm, y}, .words = line, .size_mm = kWords_mm, .colour = kInk});
  }
  y += kWords_mm * 2.2;
  picture.marks.emplace_back(
      Text{.at = {kMargin_mm, y}, .words = "mW/cm² at the tip's face", .size_mm = kSmall_mm, .colour = kFaintInk});
  Sheet sheet(input, y + 1);
  sheet.add_field(picture.marks);
  std::vector<Mark> spots;
  sheet.add_spots(spots);
  sheet.add_isolines(picture.marks);
  std::move(spots.begin(), spots.end(), std::back_inserter(picture.marks));
  sheet.add_edge_name(picture.marks);
  sheet.add_rule(picture.marks, sheet.bottom_mm() + 4);
  picture.height_mm = sheet.bottom_mm() + 4 + 5 + kMargin_mm;
  return picture;
}

}  // namespace throughcure::draw
