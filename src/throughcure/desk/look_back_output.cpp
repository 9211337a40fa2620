#include "throughcure/desk/look_back_output.hpp"

#include <algorithm>

namespace throughcure::desk {

LookBackOutput::LookBackOutput(const LightView& view, const std::vector<Span>& spans,
                               const std::vector<fleet::ShownFrom>& shown) {
  windows_.reserve(spans.size());
  for (const Span& span : spans) windows_.emplace_back(view, span, shown);
}

const WindowOutput& LookBackOutput::window_of(base::Instant when) const {
  const auto begun = [&](const WindowOutput& one) { return one.span().from.value_or(when) <= when; };
  const auto at = std::ranges::find_if(windows_.rbegin(), windows_.rend(), begun);
  return at == windows_.rend() ? windows_.front() : *at;
}

std::vector<CoursePoint> LookBackOutput::course(base::Instant otherwise) const {
  std::vector<CoursePoint> points;
  for (const WindowOutput& one : windows_) {
    for (const CoursePoint& point : one.course(otherwise)) {
      // A window that began before the one before it ended says no more of what that one says already.
      if (points.empty() || point.at > points.back().at) points.push_back(point);
    }
  }
  return points;
}

}  // namespace throughcure::desk
