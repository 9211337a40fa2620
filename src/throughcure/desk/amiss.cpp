#include "throughcure/desk/amiss.hpp"

#include <algorithm>

#include "throughcure/desk/local_day.hpp"

namespace throughcure::desk {

namespace {

bool done_since(const fleet::LightHistory& history, fleet::Deed what, base::Instant look, base::Instant now) {
  return std::ranges::any_of(history.services, [&](const fleet::ServiceEvent& service) {
    return service.what == what && service.at > look && service.at <= now;
  });
}

std::string day_of(const Amiss& seen, const LightRecord& record) {
  return day_text(local_day(seen.at, record.site.record.time_zone));
}

/// Which tip, where there are several.
std::string tip_words(const Amiss& seen, const LightRecord& record) {
  return record.tips.size() > 1 ? "tip \"" + record.tips.at(seen.tip).record.name + "\"" : std::string("tip");
}

std::string sentence(const Amiss& seen, const LightRecord& record) {
  if (seen.part == Amiss::Part::kVents) {
    return "Its vents were blocked on " + day_of(seen, record) + ": clear them, and look at them again.";
  }
  return "Its " + tip_words(seen, record) + " was seen damaged on " + day_of(seen, record) +
         ": replace it, and do not cure with it.";
}

}  // namespace

LastLooks last_looks(const LightRecord& record, base::Instant now) {
  const fleet::LightHistory& history = record.history;
  LastLooks looks{.at_tip = std::vector<std::optional<std::size_t>>(history.tips.size())};
  std::size_t open = history.tips.size() + 1;
  const auto after = std::ranges::upper_bound(history.readings, now, {}, &fleet::LightReading::at);
  // Mostly the last reading saw everything.
  for (auto i = static_cast<std::size_t>(after - history.readings.begin()); i > 0 && open > 0; --i) {
    const fleet::LightReading& reading = history.readings[i - 1];
    const auto note = [&](std::optional<std::size_t>& look) {
      if (look) return;
      look = i - 1;
      --open;
    };
    if (reading.tip_whole && reading.tip < looks.at_tip.size()) note(looks.at_tip[reading.tip]);
    if (reading.vents_clear) note(looks.at_vents);
  }
  return looks;
}

std::vector<Amiss> seen_amiss(const LightRecord& record, base::Instant now) {
  const fleet::LightHistory& history = record.history;
  const LastLooks looks = last_looks(record, now);
  std::vector<Amiss> seen;
  const auto add = [&](Amiss::Part part, const fleet::LightReading& look, fleet::Deed mends) {
    if (done_since(history, mends, look.at, now)) return;
    seen.push_back({.part = part, .tip = look.tip, .reading = look.id, .at = look.at});
  };
  for (const std::optional<std::size_t>& at : looks.at_tip) {
    if (!at) continue;
    const fleet::LightReading& look = history.readings[*at];
    if (look.tip_whole == false) add(Amiss::Part::kTip, look, fleet::Deed::kTipReplaced);
  }
  if (looks.at_vents) {
    const fleet::LightReading& look = history.readings[*looks.at_vents];
    if (look.vents_clear == false) add(Amiss::Part::kVents, look, fleet::Deed::kRepaired);
  }
  return seen;
}

std::string words_of(const std::vector<Amiss>& seen, const LightRecord& record) {
  std::string words;
  for (const Amiss& one : seen) words += (words.empty() ? "" : " ") + sentence(one, record);
  return words;
}

std::string wanted_instead(const Amiss& seen, const LightRecord& record) {
  if (seen.part == Amiss::Part::kVents) {
    return "Vents that are clear: they were blocked on " + day_of(seen, record) + ". Look at them again at a check.";
  }
  return "A whole tip: its " + tip_words(seen, record) + " was seen damaged on " + day_of(seen, record) +
         ". Replace it and note that, or look at it again at a check.";
}

}  // namespace throughcure::desk
