#include "throughcure/draw/section_tip.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <numbers>
#include <optional>
#include <utility>

#include "throughcure/draw/decimal.hpp"
#include "throughcure/draw/rings.hpp"
#include "throughcure/draw/section_names.hpp"

namespace throughcure::draw {

namespace {

constexpr double kBody_mm = 3.4;   // of a tip's drawn body, in the tooth's mm
constexpr double kSquare = 0.35;   // sine of the axis against the plane's normal: less is "square to the plane"
constexpr std::size_t kRays = 65;  // across a beam
constexpr double kAway_mm = 0.3;   // a tip whose axis passes further from the cut says so
// Of the sheet: what a page lays over a tip to take hold of it by, as large as on a phone.
constexpr double kGrip_mm = 7.3;     // half of one
constexpr double kBehind_mm = 16.2;  // its middle behind the face, and the way to another beside it

/// A tip seen in the plane of the cut; lengths in the tooth's mm but for places on the sheet.
struct Seen {
  Place centre;        ///< of what is drawn of the face
  Place along;         ///< unit, the way the light goes; both 0 where the axis is square to the plane
  double half_mm = 0;  ///< of the face's chord
  bool cut = true;     ///< the plane goes through the face
  double off_mm = 0;   ///< of the face's centre from the plane
};

double off_plane(const SectionBase& base, const base::Point& p) { return anatomy::off_plane_mm(base.cut, p); }

Seen seen(const SectionBase& base, const plan::TipPlace& tip) {
  const anatomy::SectionPlane& plane = base.scale.plane;
  const double right = dot(tip.axis, plane.right);
  const double down = dot(tip.axis, plane.down);
  const double in_plane = std::hypot(right, down);
  Seen out{.centre = base.scale.at(tip.centre),
           .along = {},
           .half_mm = tip.radius_mm,
           .cut = true,
           .off_mm = off_plane(base, tip.centre)};
  if (in_plane < kSquare) return out;
  out.along = {right / in_plane, down / in_plane};
  // The disc meets the plane in a chord, this far from its centre along the disc's steepest line.
  const double from_centre = out.off_mm / in_plane;
  if (std::abs(from_centre) >= tip.radius_mm) {
    out.cut = false;
    return out;
  }
  out.half_mm = std::sqrt(tip.radius_mm * tip.radius_mm - from_centre * from_centre);
  const base::Vec normal = cross(plane.right.vec(), plane.down.vec());
  const double out_of_plane = dot(normal, tip.axis);
  const double sign = base.cut.direction == anatomy::CutDirection::kMesiodistal ? normal.y : normal.x;
  const double shift = out_of_plane * sign * from_centre * base.scale.per_mm;
  out.centre = {out.centre.x_mm + shift * out.along.x_mm, out.centre.y_mm + shift * out.along.y_mm};
  return out;
}

Place moved(const Place& p, const Place& way, double by_mm) {
  return {p.x_mm + way.x_mm * by_mm, p.y_mm + way.y_mm * by_mm};
}
Place turned(const Place& way, double angle) {
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  return {c * way.x_mm - s * way.y_mm, s * way.x_mm + c * way.y_mm};
}
Place across(const Place& way) { return {-way.y_mm, way.x_mm}; }

/// The window that the section fills on the sheet.
Box window(const SectionBase& base) {
  return {base.scale.corner,
          {base.scale.corner.x_mm + base.scale.width_mm(), base.scale.corner.y_mm + base.scale.height_mm()}};
}
bool within(const Box& box, const Place& p) {
  return p.x_mm >= box.least.x_mm && p.x_mm <= box.most.x_mm && p.y_mm >= box.least.y_mm && p.y_mm <= box.most.y_mm;
}

/// What of a convex area lies in a box (Sutherland and Hodgman 1974).
Line clipped(Line area, const Box& box) {
  const std::array<std::array<double, 3>, 4> sides{
      {{1, 0, -box.least.x_mm}, {-1, 0, box.most.x_mm}, {0, 1, -box.least.y_mm}, {0, -1, box.most.y_mm}}};
  for (const std::array<double, 3>& side : sides) {
    const auto value = [&side](const Place& p) { return side[0] * p.x_mm + side[1] * p.y_mm + side[2]; };
    Line kept;
    for (std::size_t i = 0; i < area.size(); ++i) {
      const Place& p = area[i];
      const Place& q = area[(i + 1) % area.size()];
      if (value(p) >= 0) kept.push_back(p);
      if ((value(p) >= 0) != (value(q) >= 0)) {
        const double t = value(p) / (value(p) - value(q));
        kept.push_back({std::lerp(p.x_mm, q.x_mm, t), std::lerp(p.y_mm, q.y_mm, t)});
      }
    }
    area = std::move(kept);
  }
  return area;
}

/// Where a ray through air first meets something in the window, or leaves it for good.
Place end_of_ray(const SectionBase& base, Place from, const Place& way) {
  const double step = base.scale.per_mm * base.media.mm_per_pixel / 2;
  const double most = 2 * (base.scale.width_mm() + base.scale.height_mm());
  bool was_in = false;
  const int steps = static_cast<int>(most / step);
  for (int k = 0; k < steps; ++k) {
    const Place next = moved(from, way, step);
    const auto medium = base.medium_at(next);
    if (!medium && was_in) return from;
    if (medium && *medium != base.background) return next;
    was_in = was_in || medium.has_value();
    from = next;
  }
  return from;
}

std::string size_words(const plan::TipPlace& tip) { return decimal(2 * tip.radius_mm, 1) + " mm"; }

/// How far from a place, along a way, the window ends [mm of the sheet]; below 0 where it ends before the place.
/// From outside, the way must lead to the window.
double to_edge(const Box& frame, const Place& from, const Place& way) {
  const auto along = [](double at, double step, double least, double most) {
    if (std::abs(step) < 1e-9) return std::numeric_limits<double>::infinity();
    return ((step > 0 ? most : least) - at) / step;
  };
  return std::min(along(from.x_mm, way.x_mm, frame.least.x_mm, frame.most.x_mm),
                  along(from.y_mm, way.y_mm, frame.least.y_mm, frame.most.y_mm));
}

/// "tip 9.0 mm", with its number among several, its distance from the cut where it stands beside it, and how far its
/// face lies beyond the window's edge.
std::string label_of(const SectionBase& base, const plan::TipPlace& tip, const Seen& place, std::size_t index,
                     std::size_t count, double beyond_mm) {
  std::string words = count > 1 ? "tip " + std::to_string(index + 1) + ", " : "tip ";
  words += size_words(tip);
  if (std::abs(place.off_mm) > kAway_mm) {
    words += ", " + decimal(std::abs(place.off_mm), 1) + " mm " +
             (place.off_mm < 0 ? base.left_of_plane : base.right_of_plane);
  }
  if (beyond_mm > 0) words += ", " + decimal(beyond_mm, 1) + " mm beyond this edge";
  return words;
}

/// The middle of what of a tip's face lies in the window; nothing where none does.
std::optional<Place> middle_of_face(const Box& frame, const Seen& place, double half_mm) {
  constexpr int kSteps = 64;
  Place sum;
  int inside = 0;
  for (int i = 0; i <= kSteps; ++i) {
    const Place p = moved(place.centre, across(place.along), half_mm * (2.0 * i / kSteps - 1));
    if (!within(frame, p)) continue;
    sum = {sum.x_mm + p.x_mm, sum.y_mm + p.y_mm};
    ++inside;
  }
  if (inside == 0) return std::nullopt;
  return Place{sum.x_mm / inside, sum.y_mm / inside};
}

/// What a page may lay over a tip: a grip behind its face, kept in the window, and another to its one or other side.
Box grips(const Box& frame, const Seen& place) {
  const Place behind = moved(place.centre, place.along, -kBehind_mm);
  const Place middle{std::clamp(behind.x_mm, frame.least.x_mm + kGrip_mm, frame.most.x_mm - kGrip_mm),
                     std::clamp(behind.y_mm, frame.least.y_mm + kGrip_mm, frame.most.y_mm - kGrip_mm)};
  const double wide = kGrip_mm + std::abs(place.along.y_mm) * kBehind_mm;
  const double high = kGrip_mm + std::abs(place.along.x_mm) * kBehind_mm;
  return {{middle.x_mm - wide, middle.y_mm - high}, {middle.x_mm + wide, middle.y_mm + high}};
}

bool all_air(const SectionBase& base, const Box& box) {
  constexpr int kSteps = 4;
  for (int i = 0; i <= kSteps; ++i) {
    const double x = std::lerp(box.least.x_mm, box.most.x_mm, static_cast<double>(i) / kSteps);
    const double y = std::lerp(box.least.y_mm, box.most.y_mm, static_cast<double>(i) / kSteps);
    for (const Place& p :
         {Place{x, box.least.y_mm}, Place{x, box.most.y_mm}, Place{box.least.x_mm, y}, Place{box.most.x_mm, y}}) {
      if (base.medium_at(p) != base.background) return false;
    }
  }
  return true;
}

/// Words about a place, turned, but kept in the window.
Text words_at(const Box& frame, const std::string& words, const Place& middle, double turn, const Look& look) {
  const double half = words_width_mm(words, kSmall_mm) / 2;
  const double wide = std::abs(std::cos(turn)) * half + std::abs(std::sin(turn)) * kSmall_mm / 2;
  const double high = std::abs(std::sin(turn)) * half + std::abs(std::cos(turn)) * kSmall_mm / 2;
  const double drop = 0.36 * kSmall_mm;
  return {.at = {std::clamp(middle.x_mm, frame.least.x_mm + wide, frame.most.x_mm - wide) - drop * std::sin(turn),
                 std::clamp(middle.y_mm, frame.least.y_mm + high, frame.most.y_mm - high) + drop * std::cos(turn)},
          .words = words,
          .size_mm = kSmall_mm,
          .colour = look.ink,
          .align = Align::kMiddle,
          .turn_rad = turn,
          .halo = look.tip};
}

/// What turned words take, as a box that is not.
Box box_of(const Text& text) {
  const double half = words_width_mm(text.words, text.size_mm) / 2;
  const double c = std::abs(std::cos(text.turn_rad));
  const double s = std::abs(std::sin(text.turn_rad));
  const double wide = c * half + s * text.size_mm / 2;
  const double high = s * half + c * text.size_mm / 2;
  const double drop = 0.36 * text.size_mm;
  const Place middle{text.at.x_mm + drop * std::sin(text.turn_rad), text.at.y_mm - drop * std::cos(text.turn_rad)};
  return {{middle.x_mm - wide, middle.y_mm - high}, {middle.x_mm + wide, middle.y_mm + high}};
}

/// Words where they are free, as near to a place as can be; nothing where they are free nowhere.
std::optional<Text> in_nearest_air(const Box& frame, const std::string& words, const Place& from, const Look& look,
                                   const std::function<bool(const Text&)>& free) {
  constexpr double kStep_mm = 2;
  std::optional<Text> best;
  double least = std::numeric_limits<double>::infinity();
  const int columns = static_cast<int>((frame.most.x_mm - frame.least.x_mm) / kStep_mm);
  const int rows = static_cast<int>((frame.most.y_mm - frame.least.y_mm) / kStep_mm);
  for (int row = 0; row <= rows; ++row) {
    for (int column = 0; column <= columns; ++column) {
      const Place middle{frame.least.x_mm + column * kStep_mm, frame.least.y_mm + row * kStep_mm};
      Text text = words_at(frame, words, middle, 0, look);
      const double away = gap(box_of_words(words, middle, kSmall_mm), from);
      if (away >= least || !free(text)) continue;
      least = away;
      text.halo = look.paper;
      best = std::move(text);
    }
  }
  return best;
}

/// Where a tip's words stand, out of the way of what a page lays over it and of other names: in its body where there is
/// room, else in the air before it, else turned close along its face, behind it or before. `from` is a place of the
/// face, or of the window's edge where the face lies `beyond` it: then the nearest air comes before the turn.
Text label_at(const SectionBase& base, const Seen& place, const Place& from, bool beyond, const std::string& words,
              const Look& look) {
  const Box frame = window(base);
  const Box taken = grips(frame, place);
  const auto free = [&](const Text& text) {
    const Box box = box_of_words(words, {text.at.x_mm, text.at.y_mm - 0.36 * kSmall_mm}, kSmall_mm);
    const bool named = std::ranges::any_of(base.names, [&box](const Name& name) {
      return box.meets(box_of_words(name.words, name.middle, kSmall_mm, name.upright));
    });
    return !named && !box.meets(taken) && all_air(base, box);
  };
  if (!beyond && std::abs(place.along.y_mm) > 0.8) {
    Text in_body = words_at(frame, words, moved(from, place.along, -5.5), 0, look);
    if (free(in_body)) return in_body;
  }
  for (int ahead_mm = 4; ahead_mm < 0.6 * base.scale.height_mm(); ++ahead_mm) {
    const Place on_axis = moved(from, place.along, ahead_mm);
    if (base.medium_at(on_axis).value_or(base.background) != base.background) break;  // not behind the tooth
    Text before = words_at(frame, words, on_axis, 0, look);
    before.halo = look.paper;
    if (free(before)) return before;
  }
  if (beyond) {
    if (const auto anywhere = in_nearest_air(frame, words, from, look, free)) return *anywhere;
  }
  double turn = std::atan2(place.along.y_mm, place.along.x_mm) - std::numbers::pi / 2;
  if (turn <= -std::numbers::pi / 2 - 1e-6) turn += std::numbers::pi;
  if (turn > std::numbers::pi / 2 - 1e-6) turn -= std::numbers::pi;
  const double by = beyond ? 2 * kGrip_mm + 0.5 * kSmall_mm : -0.9 * kSmall_mm;
  Text behind = words_at(frame, words, moved(from, place.along, by), turn, look);
  if (beyond || !box_of(behind).meets(taken)) return behind;
  Text before = words_at(frame, words, moved(from, place.along, 1.2 * kSmall_mm), turn, look);
  before.halo = look.paper;
  return all_air(base, box_of(before)) ? before : behind;
}

/// Two short lines across a tip's axis where the window cuts it off: so near to the edge that no grip covers them.
void add_cut(std::vector<Mark>& marks, const Box& frame, const Place& edge, const Place& along, double half_mm,
             const Look& look) {
  for (const double in : {0.5, 1.4}) {
    const Place middle = moved(edge, along, in);
    const double wide = std::min(half_mm, 6.0);
    const Line whole{moved(middle, across(along), -wide), moved(middle, across(along), wide)};
    for (Line& piece : pieces_where(whole, false, [&](const Place& p) { return within(frame, p); })) {
      marks.emplace_back(Stroke{.line = std::move(piece), .width_mm = 0.4, .colour = look.ink});
    }
  }
}

}  // namespace

void add_beams(std::vector<Mark>& marks, const SectionBase& base, const std::vector<plan::TipPlace>& tips,
               const Look& look) {
  const Box frame = window(base);
  for (const plan::TipPlace& tip : tips) {
    const Seen place = seen(base, tip);
    if (place.along == Place{} || !place.cut) continue;
    const double half_angle = tip.half_angle_deg * std::numbers::pi / 180;
    const double half = place.half_mm * base.scale.per_mm;
    Line lit;
    Line far;
    for (std::size_t k = 0; k < kRays; ++k) {
      const double share = 2.0 * static_cast<double>(k) / (kRays - 1) - 1;
      const Place from = moved(place.centre, across(place.along), share * half);
      far.push_back(end_of_ray(base, from, turned(place.along, share * half_angle)));
      if (k == 0 || k + 1 == kRays) lit.push_back(from);
    }
    const std::array<Line, 2> edges{Line{lit[0], far.front()}, Line{lit[1], far.back()}};
    Line area{lit[0]};
    area.insert(area.end(), far.begin(), far.end());
    area.push_back(lit[1]);
    marks.emplace_back(Polygon{.rings = {clipped(std::move(area), frame)}, .colour = look.beam});
    for (const Line& edge : edges) {
      for (Line& piece : pieces_where(edge, false, [&](const Place& p) { return within(frame, p); })) {
        marks.emplace_back(
            Stroke{.line = std::move(piece), .width_mm = 0.25, .colour = look.ink, .dashes_mm = {1.6, 1.1}});
      }
    }
  }
}

std::vector<Box> add_tips(std::vector<Mark>& marks, const SectionBase& base, const std::vector<plan::TipPlace>& tips,
                          const Look& look) {
  const Box frame = window(base);
  std::vector<Box> written;
  const auto write = [&](Text text) {
    written.push_back(box_of(text));
    marks.emplace_back(std::move(text));
  };
  for (std::size_t i = 0; i < tips.size(); ++i) {
    const Seen place = seen(base, tips[i]);
    if (place.along == Place{}) {
      const Line face = circle(place.centre, tips[i].radius_mm * base.scale.per_mm);
      for (Line& piece : pieces_where(face, true, [&](const Place& p) { return within(frame, p); })) {
        marks.emplace_back(
            Stroke{.line = std::move(piece), .width_mm = 0.4, .colour = look.ink, .dashes_mm = {1.4, 1.0}});
      }
      const std::string words = label_of(base, tips[i], place, i, tips.size(), 0);
      const double wide = words_width_mm(words, kSmall_mm) / 2;
      const double top = place.centre.y_mm - tips[i].radius_mm * base.scale.per_mm + 1.4 * kSmall_mm;
      write({.at = {std::clamp(place.centre.x_mm, frame.least.x_mm + wide, frame.most.x_mm - wide),
                    std::clamp(top, frame.least.y_mm + kSmall_mm, frame.most.y_mm - 1)},
             .words = words,
             .size_mm = kSmall_mm,
             .colour = look.ink,
             .align = Align::kMiddle,
             .halo = look.tip});
      continue;
    }
    const double half = place.half_mm * base.scale.per_mm;
    const double back = -kBody_mm * base.scale.per_mm;
    const Place one = moved(place.centre, across(place.along), half);
    const Place other = moved(place.centre, across(place.along), -half);
    const Line body{one, moved(one, place.along, back), moved(other, place.along, back), other};
    const Line shown = clipped(body, frame);
    const std::vector<double> dashes = place.cut ? std::vector<double>{} : std::vector<double>{1.4, 1.0};
    if (place.cut && shown.size() > 2) marks.emplace_back(Polygon{.rings = {shown}, .colour = look.tip});
    for (const auto& [line, width] : {std::pair{Line{body[1], body[0]}, 0.3}, std::pair{Line{body[2], body[3]}, 0.3},
                                      std::pair{Line{body[0], body[3]}, 0.7}}) {
      for (Line& piece : pieces_where(line, false, [&](const Place& p) { return within(frame, p); })) {
        marks.emplace_back(
            Stroke{.line = std::move(piece), .width_mm = width, .colour = look.ink, .dashes_mm = dashes});
      }
    }
    if (const auto from = middle_of_face(frame, place, half)) {
      write(label_at(base, place, *from, false, label_of(base, tips[i], place, i, tips.size(), 0), look));
      continue;
    }
    const double beyond = -to_edge(frame, place.centre, {-place.along.x_mm, -place.along.y_mm});
    const Place edge = moved(place.centre, place.along, beyond);
    const std::string words = label_of(base, tips[i], place, i, tips.size(), beyond / base.scale.per_mm);
    write(label_at(base, place, edge, true, words, look));
    add_cut(marks, frame, edge, place.along, half, look);
  }
  return written;
}

std::string tip_words(const SectionBase& base, const plan::TipPlace& tip) {
  const Seen place = seen(base, tip);
  std::string words = "A tip " + size_words(tip) + " wide";
  if (place.along == Place{}) return words + " points square to the cut.";
  const double lean = std::atan2(-place.along.x_mm, place.along.y_mm) * 180 / std::numbers::pi;
  if (std::abs(lean) < 1) {
    words += " points straight down";
  } else {
    words += ", " + decimal(std::abs(lean), 0) + " degrees off upright towards " + (lean < 0 ? base.left : base.right);
  }
  if (!place.cut) {
    words += ", " + decimal(std::abs(place.off_mm), 1) + " mm " +
             (place.off_mm < 0 ? base.left_of_plane : base.right_of_plane) + " of the cut";
  }
  return words + ".";
}

}  // namespace throughcure::draw
