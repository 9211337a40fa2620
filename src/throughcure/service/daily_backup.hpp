// A backup of the records every day, by itself, and the old ones cleared away. It lies on the same disk: against a slip
// or a broken database, not against a broken disk or a fire; for those `throughcure backup` writes to another one.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/service/recurring.hpp"
#include "throughcure/store/place.hpp"

namespace throughcure::service {

/// How many are kept (common practice, no source).
inline constexpr std::size_t kDailyBackups = 14;
inline constexpr std::size_t kWeeklyBackups = 8;

/// Which of these file names are cleared away. Kept are the newest of kDailyBackups days, and of kWeeklyBackups weeks
/// (from Monday) the oldest of each; a name that is none of ours is never among the answers.
std::vector<std::string> backups_to_remove(std::vector<std::string> names);

/// Makes the backup of the day (UTC: no night of it is longer than another), "2026-11-26.backup", where there is none
/// yet, then clears old ones away; true when one was made. Throws base::Failure or base::InputError; old backups are
/// then all left.
bool back_up_daily(const store::Place& records, const std::filesystem::path& folder, base::Instant now);

/// Does so in a thread of its own, at once and then every quarter of an hour, until it is destroyed. What goes wrong is
/// told to `log`, and tried again.
class DailyBackup {
 public:
  DailyBackup(store::Place records, std::filesystem::path folder, std::function<base::Instant()> now,
              std::function<void(std::string_view)> log);

 private:
  Recurring recurring_;
};

}  // namespace throughcure::service
