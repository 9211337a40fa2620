#include "throughcure/service/daily_backup.hpp"

#include <algorithm>
#include <chrono>
#include <exception>
#include <optional>
#include <set>
#include <system_error>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/store/backup.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;

constexpr std::string_view kEnding = ".backup";
constexpr std::size_t kDayLength = 10;  // "2026-11-26"
constexpr std::chrono::minutes kLookAgain{15};

std::string name_of_day(base::Instant now) {
  return base::instant_text(now).substr(0, kDayLength) + std::string(kEnding);
}

/// Days since 1970-01-01; nothing where the name is none of ours.
std::optional<std::int64_t> day_of(const std::string& name) {
  if (name.size() != kDayLength + kEnding.size() || !name.ends_with(kEnding)) return std::nullopt;
  const auto at = base::parse_instant(name.substr(0, kDayLength) + "T00:00:00.000000Z");
  if (!at) return std::nullopt;
  return std::chrono::floor<std::chrono::days>(std::chrono::microseconds(at->us)).count();
}

/// Weeks from Monday: 1970-01-01 was a Thursday.
std::int64_t week_of(std::int64_t day) {
  constexpr std::int64_t since_monday = 3;
  const std::int64_t days = day + since_monday;
  return days >= 0 ? days / 7 : (days - 6) / 7;
}

/// Names of our backups, the oldest first.
std::vector<std::string> backups_in(const fs::path& folder) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator at(folder, error); !error && at != fs::directory_iterator(); at.increment(error)) {
    std::string name = at->path().filename().string();
    if (day_of(name)) names.push_back(std::move(name));
  }
  if (error) {
    throw base::Failure("cannot look into " + folder.string() + ": " + error.message() +
                        ". Give the program the right to read there.");
  }
  std::ranges::sort(names);
  return names;
}

}  // namespace

std::vector<std::string> backups_to_remove(std::vector<std::string> names) {
  std::erase_if(names, [](const std::string& name) { return !day_of(name); });
  std::ranges::sort(names);
  std::set<std::string> kept(names.size() > kDailyBackups ? names.end() - kDailyBackups : names.begin(), names.end());
  // The oldest of each week stays the oldest: it is never cleared away for a newer one of the same week.
  std::vector<std::string> weekly;
  std::optional<std::int64_t> last;
  for (const std::string& name : names) {
    const std::int64_t week = week_of(day_of(name).value_or(0));
    if (week != last) weekly.push_back(name);
    last = week;
  }
  kept.insert(weekly.size() > kWeeklyBackups ? weekly.end() - kWeeklyBackups : weekly.begin(), weekly.end());
  std::erase_if(names, [&](const std::string& name) { return kept.contains(name); });
  return names;
}

bool back_up_daily(const store::Place& records, const fs::path& folder, base::Instant now) {
  std::error_code error;
  fs::create_directory(folder, error);
  if (error) {
    throw base::Failure("cannot make " + folder.string() + ": " + error.message() +
                        ". Give the program the right to write there.");
  }
  const std::string today = name_of_day(now);
  if (fs::exists(folder / today, error)) return false;
  store::back_up(records, folder / today, now);
  for (const std::string& old : backups_to_remove(backups_in(folder))) {
    if (old == today) continue;  // after a clock that was set back it is not among the newest
    fs::remove(folder / old, error);
    if (error) throw base::Failure("cannot remove " + (folder / old).string() + ": " + error.message());
  }
  return true;
}

DailyBackup::DailyBackup(store::Place records, fs::path folder, std::function<base::Instant()> now,
                         std::function<void(std::string_view)> log)
    : recurring_(kLookAgain, [records = std::move(records), folder = std::move(folder), now = std::move(now),
                              log = std::move(log)] {
        try {
          back_up_daily(records, folder, now());
        } catch (const std::exception& error) {
          log("The backup of the day could not be made: " + std::string(error.what()));
        }
      }) {}

}  // namespace throughcure::service
