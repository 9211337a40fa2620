#include "throughcure/draw/section_names.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>

#include "throughcure/anatomy/targets.hpp"
#include "throughcure/draw/rings.hpp"

namespace throughcure::draw {

namespace {

constexpr double kLetter = 0.56;  // of the type's size
constexpr double kHigh = 1.15;
constexpr double kMarkRoom_mm = 1.7;  // half a target's mark with some room
constexpr double kUnderLine = 12;     // standing under a leading line costs as much as being so far off [mm]
constexpr double kBeside_mm = 2.2;    // how long a leading line should be
constexpr std::array<double, 3> kRoom{1.7, 1.35, 1.05};  // room about words: the roomiest place is tried first

/// Counts the pixels of one kind in any rectangle at once.
class Counted {
 public:
  Counted(const anatomy::Section& media, const std::vector<bool>& kind)
      : columns_(media.columns), rows_(media.rows), sums_((columns_ + 1) * (rows_ + 1)) {
    for (std::size_t row = 0; row < rows_; ++row) {
      for (std::size_t column = 0; column < columns_; ++column) {
        sum(column + 1, row + 1) =
            (kind[row * columns_ + column] ? 1U : 0U) + sum(column, row + 1) + sum(column + 1, row) - sum(column, row);
      }
    }
  }
  /// Whether all of the rectangle from pixel (column, row) is of the kind.
  [[nodiscard]] bool full(std::size_t column, std::size_t row, std::size_t wide, std::size_t high) const {
    if (column + wide > columns_ || row + high > rows_) return false;
    const auto at = [&](std::size_t i, std::size_t j) { return sums_[j * (columns_ + 1) + i]; };
    return at(column + wide, row + high) + at(column, row) - at(column, row + high) - at(column + wide, row) ==
           wide * high;
  }

 private:
  std::uint32_t& sum(std::size_t i, std::size_t j) { return sums_[j * (columns_ + 1) + i]; }

  std::size_t columns_;
  std::size_t rows_;
  std::vector<std::uint32_t> sums_;
};

class Namer {
 public:
  Namer(const SectionBase& base, const anatomy::Scene& scene, const anatomy::Site& site)
      : base_(base), scene_(scene), site_(site), step_(base.media.mm_per_pixel * base.scale.per_mm) {
    counted_.reserve(scene.medium_names.size());
    for (std::size_t m = 0; m < scene.medium_names.size(); ++m) {
      const auto medium = static_cast<anatomy::MediumId>(m);
      counted_.emplace_back(base.media, pixels_of(medium));
    }
    keep_clear_of_targets();
  }

  std::vector<Name> names() {
    std::vector<std::pair<std::string, std::string>> beside;
    for (const auto& [medium, words] : list()) {
      if (!name_inside(medium, words)) beside.emplace_back(medium, words);
    }
    for (const auto& [medium, words] : beside) name_beside(medium, words);
    return std::move(names_);
  }

 private:
  /// Media and the words for them, in the order of being placed.
  [[nodiscard]] std::vector<std::pair<std::string, std::string>> list() const {
    std::vector<std::pair<std::string, std::string>> all;
    all.reserve(site_.restoration.increments.size() + 8);
    for (std::size_t i = 0; i < site_.restoration.increments.size(); ++i) {
      all.emplace_back(anatomy::increment_name(i), anatomy::increment_name(i));
    }
    for (const char* tissue : {"pulp", "dentine", "enamel", "gingiva"}) all.emplace_back(tissue, tissue);
    all.emplace_back("neighbour dentine", "neighbour");
    all.emplace_back("wedge", "wedge");
    all.emplace_back("dam", "dam");
    all.emplace_back("matrix", "band");
    return all;
  }

  /// Marks may stand at the targets near the cut, and a line may lead down from the lowest of them.
  void keep_clear_of_targets() {
    const double bottom = base_.scale.corner.y_mm + base_.scale.height_mm();
    for (const anatomy::Target& target : anatomy::targets(site_)) {
      if (std::abs(anatomy::off_plane_mm(base_.cut, target.centre)) > kNearCut_mm) continue;
      const Place p = base_.scale.at(target.centre);
      taken_.push_back(
          {{p.x_mm - kMarkRoom_mm, p.y_mm - kMarkRoom_mm}, {p.x_mm + kMarkRoom_mm, p.y_mm + kMarkRoom_mm}});
      lines_.push_back({{p.x_mm - 0.8, p.y_mm}, {p.x_mm + 0.8, bottom}});
    }
  }
  /// What it costs to stand where a line may come down.
  [[nodiscard]] double under_lines(const Box& box) const {
    return std::ranges::any_of(lines_, [&](const Box& line) { return line.meets(box); }) ? kUnderLine : 0;
  }

  [[nodiscard]] std::vector<bool> pixels_of(anatomy::MediumId medium) const {
    std::vector<bool> kind(base_.media.media.size());
    std::transform(base_.media.media.begin(), base_.media.media.end(), kind.begin(),
                   [&](anatomy::MediumId m) { return m == medium; });
    return kind;
  }
  [[nodiscard]] std::optional<anatomy::MediumId> medium_called(const std::string& name) const {
    const auto found = std::ranges::find(scene_.medium_names, name);
    if (found == scene_.medium_names.end()) return std::nullopt;
    return static_cast<anatomy::MediumId>(found - scene_.medium_names.begin());
  }
  [[nodiscard]] Place at_pixel(double column, double row) const {
    return base_.scale.at(column * base_.media.mm_per_pixel, row * base_.media.mm_per_pixel);
  }
  [[nodiscard]] bool free(const Box& box) const {
    return std::ranges::none_of(taken_, [&](const Box& other) { return box.meets(other); });
  }

  /// In the middle of the roomiest places of the medium; upright where a tissue is too narrow otherwise.
  bool name_inside(const std::string& medium, const std::string& words) {
    const auto id = medium_called(medium);
    if (!id) return true;
    const Place wanted = centroid(*id);
    const auto increment = anatomy::increment_of(site_, *id);
    for (const bool upright : {false, true}) {
      if (upright && increment) break;
      for (const double room : kRoom) {
        const auto place = nearest(
            words, room, upright, [&](anatomy::MediumId m) { return m == *id; }, 0,
            [&](const Box& box) { return distance(middle(box), wanted) + under_lines(box); });
        if (!place) continue;
        put({.words = words, .middle = *place, .increment = increment, .upright = upright});
        return true;
      }
    }
    return false;
  }

  /// As near to the medium as words can stand in one other medium without resin, below the cusps.
  void name_beside(const std::string& medium, const std::string& words) {
    const auto id = medium_called(medium);
    if (!id) return;
    const std::vector<Place> anchors = anchors_of(*id);
    if (anchors.empty()) return;
    const auto to_anchor = [&](const Box& box) {
      double least = std::numeric_limits<double>::infinity();
      for (const Place& anchor : anchors) least = std::min(least, std::abs(gap(box, anchor) - kBeside_mm));
      return least + under_lines(box);
    };
    const auto without_resin = [&](anatomy::MediumId m) { return !anatomy::increment_of(site_, m); };
    const auto first_row = static_cast<std::size_t>(anatomy::kHeadroom_mm / base_.media.mm_per_pixel);
    const auto place = nearest(words, 1.1, false, without_resin, first_row, to_anchor);
    if (!place) return;
    const Box box = box_of_words(words, *place, kSmall_mm);
    const auto anchor = std::ranges::min_element(anchors, {}, [&](const Place& p) { return gap(box, p); });
    put({.words = words, .middle = *place, .from = *anchor, .increment = anatomy::increment_of(site_, *id)});
  }

  /// The middle of a box of words wholly in one medium that `allowed` lets through, for which `cost` is least.
  template <class Allowed, class Cost>
  [[nodiscard]] std::optional<Place> nearest(const std::string& words, double room, bool upright,
                                             const Allowed& allowed, std::size_t first_row, const Cost& cost) const {
    const auto pixels = [&](double mm) { return static_cast<std::size_t>(std::ceil(room * mm / step_)); };
    std::size_t wide = pixels(words_width_mm(words, kSmall_mm));
    std::size_t high = pixels(kHigh * kSmall_mm);
    if (upright) std::swap(wide, high);
    std::optional<Place> best;
    double best_cost = std::numeric_limits<double>::infinity();
    for (std::size_t row = first_row; row + high <= base_.media.rows; ++row) {
      for (std::size_t column = 0; column + wide <= base_.media.columns; ++column) {
        const anatomy::MediumId m = base_.media.media[row * base_.media.columns + column];
        if (!allowed(m) || !counted_[m].full(column, row, wide, high)) continue;
        const Place at = at_pixel(static_cast<double>(column) + static_cast<double>(wide) / 2,
                                  static_cast<double>(row) + static_cast<double>(high) / 2);
        const Box box = box_of_words(words, at, kSmall_mm, upright);
        if (!free(box)) continue;
        const double c = cost(box);
        if (c < best_cost) {
          best_cost = c;
          best = at;
        }
      }
    }
    return best;
  }

  [[nodiscard]] Place centroid(anatomy::MediumId medium) const {
    double x = 0;
    double y = 0;
    double n = 0;
    for (std::size_t i = 0; i < base_.media.media.size(); ++i) {
      if (base_.media.media[i] != medium) continue;
      const std::size_t row = i / base_.media.columns;
      x += static_cast<double>(i % base_.media.columns) + 0.5;
      y += static_cast<double>(row) + 0.5;
      n += 1;
    }
    return n > 0 ? at_pixel(x / n, y / n) : Place{};
  }

  /// Places of a medium that a line may lead to: pixels a little inside it, or, of what is thinner, its outline.
  [[nodiscard]] std::vector<Place> anchors_of(anatomy::MediumId medium) const {
    std::vector<Place> anchors;
    constexpr std::size_t inner = 5;
    constexpr std::size_t step = 3;
    for (std::size_t row = 0; row + inner <= base_.media.rows; row += step) {
      for (std::size_t column = 0; column + inner <= base_.media.columns; column += step) {
        if (!counted_[medium].full(column, row, inner, inner)) continue;
        anchors.push_back(at_pixel(static_cast<double>(column) + inner / 2.0, static_cast<double>(row) + inner / 2.0));
      }
    }
    std::erase_if(anchors, [&](const Place& p) { return !free({p, p}); });
    if (!anchors.empty()) return anchors;
    for (const Area& area : base_.areas) {
      if (area.tissue != Tissue::kBand || scene_.medium_names[medium] != "matrix") continue;
      for (const Line& ring : area.rings) anchors.insert(anchors.end(), ring.begin(), ring.end());
    }
    return anchors;
  }

  static Place middle(const Box& box) {
    return {(box.least.x_mm + box.most.x_mm) / 2, (box.least.y_mm + box.most.y_mm) / 2};
  }
  static double distance(const Place& a, const Place& b) { return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm); }

  void put(Name name) {
    taken_.push_back(box_of_words(name.words, name.middle, kSmall_mm, name.upright));
    names_.push_back(std::move(name));
  }

  const SectionBase& base_;
  const anatomy::Scene& scene_;
  const anatomy::Site& site_;
  double step_;  // of a pixel on the sheet [mm]
  std::vector<Counted> counted_;
  std::vector<Name> names_;
  std::vector<Box> taken_;
  std::vector<Box> lines_;
};

}  // namespace

double words_width_mm(const std::string& words, double size_mm) {
  const auto letters =
      std::ranges::count_if(words, [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; });
  return kLetter * size_mm * static_cast<double>(letters);
}

Box box_of_words(const std::string& words, Place middle, double size_mm, bool upright) {
  double wide = words_width_mm(words, size_mm) / 2;
  double high = kHigh * size_mm / 2;
  if (upright) std::swap(wide, high);
  return {{middle.x_mm - wide, middle.y_mm - high}, {middle.x_mm + wide, middle.y_mm + high}};
}

Place nearest_in(const Box& box, const Place& p) {
  return {std::clamp(p.x_mm, box.least.x_mm, box.most.x_mm), std::clamp(p.y_mm, box.least.y_mm, box.most.y_mm)};
}

double gap(const Box& box, const Place& p) {
  const Place q = nearest_in(box, p);
  return std::hypot(q.x_mm - p.x_mm, q.y_mm - p.y_mm);
}

std::vector<Name> section_names(const SectionBase& base, const anatomy::Scene& scene, const anatomy::Site& site) {
  return Namer(base, scene, site).names();
}

}  // namespace throughcure::draw
