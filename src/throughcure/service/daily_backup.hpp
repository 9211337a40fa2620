// A backup of the records every day, by itself, and the old ones cleared away. It lies on the same disk: against a slip
// or a broken database, not against a broken disk or a fire; for those `throughcure backup` writes to another one.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/service/backup_state.hpp"
#include "throughcure/service/recurring.hpp"
#include "throughcure/store/place.hpp"

namespace throughcure::service {

/// How many are kept (common practice, no source).
inline constexpr std::size_t kDailyBackups = 14;
inline constexpr std::size_t kWeeklyBackups = 8;

/// Which of these file names are cleared away. Kept are the newest of kDailyBackups days, and of kWeeklyBackups weeks
/// (from Monday) the oldest of each, of whole ones and of incomplete ones each by themselves: an incomplete one never
/// takes the place of a whole one. A name that is none of ours is never among the answers.
std::vector<std::string> backups_to_remove(std::vector<std::string> names);

struct BackupOfDay {
  bool made = false;                  ///< now; else it was there already
  std::vector<store::LostFile> lost;  ///< what it lacks
  std::vector<std::string> left_out;  ///< of the data folder's files, and why
  std::string not_as_logged{};        ///< the records that are not what the audit log says of them; empty for none
};

/// Makes the backup of the day (UTC: no night of it is longer than another), "2026-11-26.backup", where there is none
/// yet, then clears old ones away; what was begun on any day and never finished before that. The folder lies in the
/// practice's data folder, whose own files go in too. One that lacks files is called "2026-11-26.incomplete.backup",
/// and gives way to a whole one on the same day as soon as those files can be had again. Throws base::Failure or
/// base::InputError; old backups are then all left.
BackupOfDay back_up_daily(const store::Place& records, const std::filesystem::path& folder, base::Instant now);

/// Does so in a thread of its own, at once and then every quarter of an hour, until it is destroyed. What goes wrong is
/// told to `log` and to `state`, and tried again; what a backup lacks as well. `state` must outlive it.
class DailyBackup {
 public:
  DailyBackup(store::Place records, std::filesystem::path folder, std::function<base::Instant()> now,
              std::function<void(std::string_view)> log, BackupState& state);

 private:
  Recurring recurring_;
};

}  // namespace throughcure::service
