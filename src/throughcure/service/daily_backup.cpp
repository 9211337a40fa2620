#include "throughcure/service/daily_backup.hpp"

#include <algorithm>
#include <chrono>
#include <exception>
#include <iterator>
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
constexpr std::string_view kIncompleteEnding = ".incomplete.backup";
constexpr std::string_view kBegunEnding = ".backup.begun";
constexpr std::size_t kDayLength = 10;  // "2026-11-26"
constexpr std::chrono::minutes kLookAgain{15};

std::string name_of_day(base::Instant now, std::string_view ending) {
  return base::instant_text(now).substr(0, kDayLength) + std::string(ending);
}

bool is_incomplete(const std::string& name) { return name.ends_with(kIncompleteEnding); }

/// Days since 1970-01-01; nothing where the name is none of ours.
std::optional<std::int64_t> day_of(const std::string& name) {
  const std::string_view ending = is_incomplete(name) ? kIncompleteEnding : kEnding;
  if (name.size() != kDayLength + ending.size() || !name.ends_with(ending)) return std::nullopt;
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

void put_under(const fs::path& to, const fs::path& from) {
  std::error_code error;
  fs::rename(from, to, error);
  if (error) throw base::Failure("cannot rename " + from.string() + " to " + to.string() + ": " + error.message());
}

/// What of a backup goes into the program's log: no names of files, which are private.
std::string words_of(const std::vector<store::LostFile>& lost) {
  std::string words = "The backup of the day lacks files, and has all else: ";
  for (const store::LostFile& file : lost) words += (&file == lost.data() ? "" : "; ") + store::told(file);
  return words + ". Attach the same files again; Today shows the lead their names.";
}

/// Whether a backup of some day was begun under this name, or a part of one, and never finished.
bool is_begun(const std::string& name) {
  if (name.size() < kDayLength || name.find(kBegunEnding) != kDayLength) return false;
  return day_of(name.substr(0, kDayLength) + std::string(kEnding)).has_value();
}

/// Names of ours, in their order: of backups the oldest first.
std::vector<std::string> names_in(const fs::path& folder, const std::function<bool(const std::string&)>& is_wanted) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator at(folder, error); !error && at != fs::directory_iterator(); at.increment(error)) {
    std::string name = at->path().filename().string();
    if (is_wanted(name)) names.push_back(std::move(name));
  }
  if (error) {
    throw base::Failure("cannot look into " + folder.string() + ": " + error.message() +
                        ". Give the program the right to read there.");
  }
  std::ranges::sort(names);
  return names;
}

/// Of backups of one sort, the oldest first.
std::vector<std::string> outdated(std::vector<std::string> names) {
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

}  // namespace

std::vector<std::string> backups_to_remove(std::vector<std::string> names) {
  std::erase_if(names, [](const std::string& name) { return !day_of(name); });
  std::ranges::sort(names);
  std::vector<std::string> incomplete;
  std::ranges::copy_if(names, std::back_inserter(incomplete), is_incomplete);
  std::erase_if(names, is_incomplete);
  std::vector<std::string> removed = outdated(std::move(names));
  std::ranges::move(outdated(std::move(incomplete)), std::back_inserter(removed));
  return removed;
}

BackupOfDay back_up_daily(const store::Place& records, const fs::path& folder, base::Instant now) {
  std::error_code error;
  fs::create_directory(folder, error);
  if (error) {
    throw base::Failure("cannot make " + folder.string() + ": " + error.message() +
                        ". Give the program the right to write there.");
  }
  const fs::path whole = folder / name_of_day(now, kEnding);
  const fs::path incomplete = folder / name_of_day(now, kIncompleteEnding);
  if (fs::exists(whole, error)) return {};
  if (fs::exists(incomplete, error)) {
    auto lost = store::still_lost(records, store::lost_in(incomplete));
    if (!lost.empty()) return {.made = false, .lost = std::move(lost), .left_out = {}};
  }
  const fs::path made = folder / name_of_day(now, kBegunEnding);
  // Of a program that was killed: each is as large as a backup. One that cannot be removed stops none.
  for (const std::string& begun : names_in(folder, is_begun)) fs::remove(folder / begun, error);
  const store::BackupAbout about = store::back_up(records, made, now, folder.parent_path());
  BackupOfDay out{.made = true,
                  .lost = about.lost,
                  .left_out = about.left_out,
                  .not_as_logged = store::words_of(about.against_log)};
  const fs::path& kept = out.lost.empty() ? whole : incomplete;
  put_under(kept, made);
  if (out.lost.empty()) fs::remove(incomplete, error);
  for (const std::string& old :
       backups_to_remove(names_in(folder, [](const std::string& name) { return day_of(name).has_value(); }))) {
    if (old == kept.filename()) continue;  // after a clock that was set back it is not among the newest
    fs::remove(folder / old, error);
    if (error) throw base::Failure("cannot remove " + (folder / old).string() + ": " + error.message());
  }
  return out;
}

DailyBackup::DailyBackup(store::Place records, fs::path folder, std::function<base::Instant()> now,
                         std::function<void(std::string_view)> log, BackupState& state)
    : recurring_(kLookAgain, [records = std::move(records), folder = std::move(folder), now = std::move(now),
                              log = std::move(log), &state] {
        try {
          const BackupOfDay day = back_up_daily(records, folder, now());
          if (day.made && !day.lost.empty()) log(words_of(day.lost));
          if (!day.not_as_logged.empty()) {
            log("The backup of the day has records that are not what the audit log says of them: " + day.not_as_logged +
                ". Look for who changed the database, and restore an earlier backup.");
          }
          for (const std::string& one : day.left_out) log("The backup of the day leaves out " + one + ".");
          state.set({.trouble = {}, .lost = day.lost});
        } catch (const std::exception& error) {
          log("The backup of the day could not be made: " + std::string(error.what()));
          state.set({.trouble = error.what(), .lost = {}});
        }
      }) {}

}  // namespace throughcure::service
