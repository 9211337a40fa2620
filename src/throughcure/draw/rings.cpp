#include "throughcure/draw/rings.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace throughcure::draw {

void Extent::take(const Place& p) {
  least = {std::min(least.x_mm, p.x_mm), std::min(least.y_mm, p.y_mm)};
  most = {std::max(most.x_mm, p.x_mm), std::max(most.y_mm, p.y_mm)};
}

Extent extent(const Line& line) {
  Extent all;
  for (const Place& p : line) all.take(p);
  return all;
}

bool inside(const std::vector<Line>& rings, const Place& p) {
  bool odd = false;
  for (const Line& ring : rings) {
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
      const Place& a = ring[i];
      const Place& b = ring[j];
      if ((a.y_mm > p.y_mm) == (b.y_mm > p.y_mm)) continue;
      if (p.x_mm < a.x_mm + (b.x_mm - a.x_mm) * (p.y_mm - a.y_mm) / (b.y_mm - a.y_mm)) odd = !odd;
    }
  }
  return odd;
}

double area_mm2(const Line& ring) {
  double twice = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Place& a = ring[i];
    const Place& b = ring[(i + 1) % ring.size()];
    twice += a.x_mm * b.y_mm - a.y_mm * b.x_mm;
  }
  return twice / 2;
}

std::vector<Line> pieces_where(const Line& line, bool closed, const std::function<bool(const Place&)>& kept) {
  Line whole = line;
  if (closed && !whole.empty()) whole.push_back(whole.front());
  const auto end_between = [&](Place in, Place out) {
    for (int halving = 0; halving < 10; ++halving) {
      const Place middle{(in.x_mm + out.x_mm) / 2, (in.y_mm + out.y_mm) / 2};
      (kept(middle) ? in : out) = middle;
    }
    return in;
  };
  std::vector<Line> pieces;
  Line piece;
  bool was_kept = false;
  for (std::size_t i = 0; i < whole.size(); ++i) {
    const bool is_kept = kept(whole[i]);
    if (is_kept && !was_kept && i > 0) piece.push_back(end_between(whole[i], whole[i - 1]));
    if (is_kept) piece.push_back(whole[i]);
    if (!is_kept && was_kept) {
      piece.push_back(end_between(whole[i - 1], whole[i]));
      pieces.push_back(std::exchange(piece, {}));
    }
    was_kept = is_kept;
  }
  if (piece.size() > 1) pieces.push_back(std::move(piece));
  // A closed line that was entered in the middle of a piece: its end goes on with its beginning.
  if (closed && pieces.size() > 1 && kept(whole.front()) && pieces.front().front() == whole.front()) {
    Line& last = pieces.back();
    last.insert(last.end(), pieces.front().begin() + 1, pieces.front().end());
    pieces.erase(pieces.begin());
  }
  std::erase_if(pieces, [](const Line& one) { return one.size() < 2; });
  return pieces;
}

namespace {

double off_line(const Place& p, const Place& a, const Place& b) {
  const double dx = b.x_mm - a.x_mm;
  const double dy = b.y_mm - a.y_mm;
  const double squared = dx * dx + dy * dy;
  const double t = squared > 0 ? std::clamp(((p.x_mm - a.x_mm) * dx + (p.y_mm - a.y_mm) * dy) / squared, 0.0, 1.0) : 0;
  return std::hypot(p.x_mm - a.x_mm - t * dx, p.y_mm - a.y_mm - t * dy);
}

}  // namespace

Line simplified(const Line& ring, double within_mm) {
  if (ring.size() < 4) return ring;
  std::vector<bool> kept(ring.size(), false);
  const auto far = std::ranges::max_element(
      ring, {}, [&](const Place& p) { return std::hypot(p.x_mm - ring.front().x_mm, p.y_mm - ring.front().y_mm); });
  const auto opposite = static_cast<std::size_t>(far - ring.begin());
  kept[0] = kept[opposite] = true;
  std::vector<std::pair<std::size_t, std::size_t>> open{{0, opposite}, {opposite, ring.size()}};
  while (!open.empty()) {
    const auto [from, to] = open.back();
    open.pop_back();
    std::size_t worst = from;
    double worst_mm = within_mm;
    for (std::size_t i = from + 1; i < to; ++i) {
      const double off = off_line(ring[i], ring[from], ring[to % ring.size()]);
      if (off > worst_mm) {
        worst_mm = off;
        worst = i;
      }
    }
    if (worst == from) continue;
    kept[worst] = true;
    open.emplace_back(from, worst);
    open.emplace_back(worst, to);
  }
  Line out;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    if (kept[i]) out.push_back(ring[i]);
  }
  return out;
}

}  // namespace throughcure::draw
