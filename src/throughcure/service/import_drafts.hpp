// Spreadsheets that people are about to import, in memory for a while.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <list>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/kinds.hpp"
#include "throughcure/desk/import_plan.hpp"
#include "throughcure/exchange/sheet.hpp"

namespace throughcure::service {

struct ImportDraft {
  std::string id;
  base::PersonId person;
  std::string file_name;
  std::shared_ptr<const exchange::Sheet> sheet;
  desk::ImportSettings settings;
  base::Instant until{};
};

/// How much is kept; the oldest gives way. Time counts from when a file came.
struct DraftRules {
  std::size_t most_each = 3;                        ///< of one person
  std::size_t most_bytes = std::size_t{192} << 20;  ///< of all together
  std::chrono::microseconds lasts = std::chrono::hours(1);
};

/// Safe from any thread.
class ImportDrafts {
 public:
  explicit ImportDrafts(DraftRules rules = {}) : rules_(rules) {}

  /// Under a name that nobody can guess.
  std::string add(base::PersonId person, std::string file_name, std::shared_ptr<const exchange::Sheet> sheet,
                  desk::ImportSettings settings, base::Instant now);
  /// Throws desk::Missing where there is none of that name, or it is somebody else's.
  [[nodiscard]] ImportDraft find(std::string_view id, base::PersonId person, base::Instant now);
  /// The same.
  void change(std::string_view id, base::PersonId person, desk::ImportSettings settings, base::Instant now);
  /// Nothing happens where there is none.
  void drop(std::string_view id, base::PersonId person);

 private:
  ImportDraft& kept(std::string_view id, base::PersonId person, base::Instant now);
  void drop_old(base::Instant now);

  DraftRules rules_;
  std::mutex mutex_;
  std::list<ImportDraft> drafts_;  ///< the oldest first
};

}  // namespace throughcure::service
