// A practice's records as the program serves them: the store, who is signed in, the keys; and all routes of the
// records.
#pragma once

#include <atomic>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "throughcure/service/chart_search_routes.hpp"
#include "throughcure/service/door_routes.hpp"
#include "throughcure/service/jobs.hpp"
#include "throughcure/service/plan_room.hpp"
#include "throughcure/service/records_desk.hpp"
#include "throughcure/service/tickets.hpp"
#include "throughcure/store/place.hpp"

namespace throughcure::service {

class ImportDrafts;

/// Opened once for as long as the program serves. Not to be moved: routes point into it.
class PracticeDesk {
 public:
  /// Opens the records, and takes in who was signed in before. `cost` is that of the hashes. Throws base::Failure.
  PracticeDesk(const store::Place& place, const std::function<base::Instant()>& now,
               const practice::HashCost& cost = practice::kUsualCost);
  ~PracticeDesk();
  PracticeDesk(const PracticeDesk&) = delete;
  PracticeDesk& operator=(const PracticeDesk&) = delete;

  [[nodiscard]] store::Store& records() { return records_; }
  [[nodiscard]] Sessions& sessions() { return sessions_; }
  /// For what makes backups; Today tells the lead of it.
  [[nodiscard]] BackupState& backups() { return backups_; }
  /// The code of the first start; empty where the practice has begun.
  [[nodiscard]] const std::string& first_code() const { return door_.first_code; }
  /// What the site must be told so that sessions outlive the program.
  void complete(SiteSettings& settings);
  /// Restorations are recorded, and look-backs recomputed, with what is in `room`, by `jobs`, which must outlive the
  /// routes.
  [[nodiscard]] std::vector<Route> routes(const SiteSettings& settings, const std::shared_ptr<PlanRoom>& room,
                                          Jobs& jobs);
  /// What verdicts are worded by: as the practice has chosen, else as the room knows. This must outlive it.
  [[nodiscard]] PolicyInForce policy_in_force(const PlanRoom& room);
  /// Reads every light once, in a thread of its own, so that the first page does not wait for it.
  void warm_up();
  /// Finishes what was begun, and takes nothing new.
  void close();

 private:
  std::function<base::Instant()> now_;
  store::Store records_;
  Sessions sessions_;
  Door door_;
  Buckets searches_{kChartSearches};
  desk::LightCache lights_;
  BackupState backups_;
  TicketKey ticket_key_{};
  std::atomic<bool> closing_ = false;
  DeskThreads threads_;
  DeskThreads check_threads_;
  std::unique_ptr<ImportDrafts> imports_;
  DeskThreads import_thread_{1};  ///< one file after the other: they are long
};

}  // namespace throughcure::service
