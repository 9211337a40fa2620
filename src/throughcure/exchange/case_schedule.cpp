#include "throughcure/exchange/case_schedule.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <variant>

#include "throughcure/anatomy/states.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/plan/aim.hpp"

namespace throughcure::exchange {

namespace {

using anatomy::ToothSide;
using base::number_text;

constexpr Count kExposures{.at_least = 1, .at_most = 50};
constexpr Limits kSeconds{.at_least = 0.1, .at_most = 600, .unit = "s"};
constexpr Limits kPause{.at_least = 0, .at_most = 3600, .unit = "s"};
constexpr Limits kStandoff{.at_least = 0, .at_most = 50, .unit = "mm"};
constexpr Limits kTilt{.at_least = 0, .at_most = 80, .unit = "deg"};
constexpr Limits kPlace{.at_least = -30, .at_most = 30, .unit = "mm"};

/// The names of things, as words to choose from; valid as long as the things are.
template <class T, class Name>
std::vector<std::string_view> words_of(const std::vector<T>& things, Name T::* name) {
  std::vector<std::string_view> words;
  words.reserve(things.size());
  for (const T& thing : things) words.emplace_back(thing.*name);
  return words;
}

/// The word's place among those allowed; nothing after a problem.
std::optional<std::size_t> one_of(const TomlTable& table, std::string_view key,
                                  const std::vector<std::string_view>& words) {
  const std::size_t place = table.choice_among(key, words);
  if (table.optional_text(key) == words[place]) return place;
  return std::nullopt;
}

/// The aims that this site has. Of a site with something wrong only their names hold.
std::vector<plan::Aim> aims_of(const CaseSite& part) {
  if (part.sound) return plan::aims(part.site);
  anatomy::Site like = part.site;
  const auto to_default = [](auto& cut) {
    if (cut) cut.emplace();
  };
  to_default(like.cavity.occlusal);
  to_default(like.cavity.mesial);
  to_default(like.cavity.distal);
  to_default(like.cavity.front);
  return plan::aims(like);
}

base::Point read_aim(const TomlTable& entry, const std::vector<plan::Aim>& aims) {
  const Shape shape = entry.shape("aim");
  if (shape == Shape::kOtherArray || aims.empty()) {
    const auto at = entry.numbers("aim", kPlace, {.at_least = 3, .at_most = 3});
    return at.size() == 3 ? base::Point{at[0], at[1], at[2]} : base::Point{};
  }
  return aims[entry.choice_among("aim", words_of(aims, &plan::Aim::name))].at;
}

ToothSide read_tilt_side(const TomlTable& entry, ToothSide from, double tilt_deg) {
  using enum ToothSide;
  const auto to = entry.optional_choice<ToothSide>("tilt_to", {{word(kMesial), kMesial},
                                                               {word(kDistal), kDistal},
                                                               {word(kBuccal), kBuccal},
                                                               {word(kLingual), kLingual},
                                                               {word(kOcclusal), kOcclusal}});
  if (!to) {
    if (tilt_deg > 0 && !entry.has("tilt_to")) {
      entry.refuse("tilt_to", "it is missing, and the tip is tilted by " + number_text(tilt_deg) + " deg",
                   "Give the side that the tip's body moves to: mesial, distal, buccal, lingual or occlusal");
    }
    return kDistal;  // square to every side that a tip comes from
  }
  if (dot(outward(*to), outward(from)) != 0) {
    entry.refuse("tilt_to",
                 "the tip comes from the " + std::string(word(from)) + " side: tilting it to the " +
                     std::string(word(*to)) + " side is no tilt",
                 "Give a side square to it, such as mesial or distal");
  }
  return *to;
}

plan::Pose read_pose(const TomlTable& entry, const std::vector<plan::Aim>& aims) {
  using enum ToothSide;
  plan::Pose pose;
  pose.aim = read_aim(entry, aims);
  pose.from = entry
                  .optional_choice<ToothSide>(
                      "from", {{word(kOcclusal), kOcclusal}, {word(kBuccal), kBuccal}, {word(kLingual), kLingual}})
                  .value_or(kOcclusal);
  pose.tilt_deg = entry.optional_number("tilt_deg", kTilt).value_or(0);
  pose.tilt_to = read_tilt_side(entry, pose.from, pose.tilt_deg);
  pose.standoff_mm = entry.number("standoff_mm", kStandoff);
  return pose;
}

/// Says so where no button of the mode gives these seconds. Buttons pressed one after the other add up, unless the
/// mode's course starts again at each press.
void check_buttons(const TomlTable& entry, double seconds, const optics::Mode& mode) {
  const auto presses = [&](double button) {
    const double count = std::round(seconds / button);
    return count >= 1 && std::abs(seconds - count * button) < 1e-9 * seconds ? count : 0;
  };
  std::string buttons;
  for (const double button : mode.buttons_s) buttons += (buttons.empty() ? "" : ", ") + number_text(button);
  const bool restarts = !std::holds_alternative<optics::Continuous>(mode.course);
  if (std::ranges::any_of(mode.buttons_s, [&](double b) { return presses(b) == 1; })) return;
  if (std::ranges::none_of(mode.buttons_s, [&](double b) { return presses(b) > 0; })) {
    entry.refuse("seconds", number_text(seconds) + " s is on no button of the mode \"" + mode.name + "\"",
                 "Give " + buttons + " s" + (restarts ? "" : ", or a multiple of one of them"));
  } else if (restarts) {
    entry.refuse(
        "seconds",
        number_text(seconds) + " s takes several presses, and the mode \"" + mode.name + "\" starts again at each",
        "Give each press as an exposure of its own; the buttons are " + buttons + " s");
  }
}

std::size_t read_mode(const TomlTable& entry, const optics::Light& light) {
  const auto mode = entry.has("mode") ? one_of(entry, "mode", words_of(light.modes, &optics::Mode::name)) : 0;
  const auto seconds = entry.optional_number("seconds", kSeconds);
  if (mode && seconds) check_buttons(entry, *seconds, light.modes[*mode]);
  return mode.value_or(0);
}

}  // namespace

std::vector<plan::Exposure> read_case_schedule(const TomlTable& root, const CaseSite& site,
                                               const std::optional<optics::Light>& light) {
  const std::vector<plan::Aim> aims = aims_of(site);
  const std::vector<anatomy::SceneState> states = scene_states(site.site);
  const std::vector<std::string_view> names = words_of(states, &anatomy::SceneState::name);
  std::vector<plan::Exposure> schedule;
  std::size_t latest = 0;
  for (const TomlTable& entry : root.tables("exposure", kExposures)) {
    plan::Exposure exposure;
    const auto state = one_of(entry, "state", names);
    if (state && *state < latest) {
      entry.refuse("state",
                   "\"" + states[*state].name + "\" comes before \"" + states[latest].name +
                       "\", the state of an earlier exposure",
                   "Put the exposures in the order of time");
    }
    latest = std::max(latest, state.value_or(0));
    exposure.state = state.value_or(0);
    exposure.pose = read_pose(entry, aims);
    exposure.seconds = entry.number("seconds", kSeconds);
    exposure.pause_before_s = entry.optional_number("pause_before_s", kPause).value_or(0);
    if (light) {
      exposure.mode = read_mode(entry, *light);
    } else {
      (void)entry.optional_text("mode");
    }
    schedule.push_back(exposure);
  }
  return schedule;
}

}  // namespace throughcure::exchange
