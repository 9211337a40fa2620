// What a light gave on the days of a look-back: of each failure that it looks at, in that failure's own window.
#pragma once

#include <optional>
#include <vector>

#include "throughcure/desk/window_output.hpp"

namespace throughcure::desk {

/// Answers for any instant. Where failures were merged, the light was good between them: what it lost before the first
/// one it had again, so that each is smoothed alone.
class LookBackOutput {
 public:
  /// `spans` as spans_of gives them, by their ends; at least one. `shown` as WindowOutput has it.
  LookBackOutput(const LightView& view, const std::vector<Span>& spans, const std::vector<fleet::ShownFrom>& shown);

  /// The window in which something was cured: the last one that had begun by then.
  [[nodiscard]] const WindowOutput& window_of(base::Instant when) const;
  /// That of the last failure.
  [[nodiscard]] const WindowOutput& last() const { return windows_.back(); }

  [[nodiscard]] OutputThen at(base::Instant when) const { return window_of(when).at(when); }
  [[nodiscard]] std::vector<OutputAlternative> alternatives(base::Instant when) const {
    return window_of(when).alternatives(when);
  }
  [[nodiscard]] fleet::OutputSpread spread(base::Instant when) const { return window_of(when).spread(when); }
  [[nodiscard]] double chance_below(double shown_mw_cm2, base::Instant when) const {
    return window_of(when).chance_below(shown_mw_cm2, when);
  }
  /// WindowOutput::course of each, one after the other.
  [[nodiscard]] std::vector<CoursePoint> course(base::Instant otherwise) const;

 private:
  std::vector<WindowOutput> windows_;
};

}  // namespace throughcure::desk
