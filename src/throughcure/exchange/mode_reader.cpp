#include "throughcure/exchange/mode_reader.hpp"

#include <algorithm>
#include <functional>

namespace throughcure::exchange {

namespace {

constexpr Limits kShare{.above = 0, .at_most = 1};
constexpr Limits kSeconds{.above = 0, .at_most = 600, .unit = "s"};

optics::Course read_course(const TomlTable& mode) {
  const std::string course = mode.choice("course", {"continuous", "ramp", "pulsed", "two-level"});
  const auto share = [&mode](std::string_view key) { return mode.optional_number(key, kShare).value_or(1); };
  if (course == "ramp") {
    return optics::Ramp{.from_share = mode.number("from_share", {.at_least = 0, .at_most = 1}),
                        .rise_s = mode.number("rise_s", kSeconds),
                        .to_share = share("to_share")};
  }
  if (course == "pulsed") {
    return optics::Pulsed{.on_s = mode.number("on_s", kSeconds),
                          .off_s = mode.number("off_s", {.at_least = 0, .at_most = 600, .unit = "s"}),
                          .share = share("share")};
  }
  if (course == "two-level") {
    return optics::TwoLevel{.first_share = mode.number("first_share", {.at_least = 0, .at_most = 1}),
                            .first_s = mode.number("first_s", kSeconds),
                            .then_share = share("then_share")};
  }
  return optics::Continuous{share("share")};
}

}  // namespace

std::vector<optics::Mode> read_modes(const TomlTable& root) {
  std::vector<optics::Mode> modes;
  for (const TomlTable& entry : root.tables("mode", {.at_least = 1, .at_most = 20})) {
    optics::Mode mode{.name = entry.text("name"),
                      .course = read_course(entry),
                      .buttons_s = entry.numbers("buttons_s", kSeconds, {.at_least = 1, .at_most = 30})};
    if (std::ranges::adjacent_find(mode.buttons_s, std::greater_equal<>()) != mode.buttons_s.end()) {
      entry.refuse("buttons_s", "the times do not rise", "Give each time once, the shortest first");
    }
    if (std::ranges::find(modes, mode.name, &optics::Mode::name) != modes.end()) {
      entry.refuse("name", "another mode is called \"" + mode.name + "\" too", "Give each mode a name of its own");
    }
    modes.push_back(std::move(mode));
  }
  return modes;
}

}  // namespace throughcure::exchange
