#include "throughcure/service/import_drafts.hpp"

#include <algorithm>
#include <utility>

#include "throughcure/desk/scope.hpp"
#include "throughcure/service/token.hpp"

namespace throughcure::service {

std::string ImportDrafts::add(base::PersonId person, std::string file_name,
                              std::shared_ptr<const exchange::Sheet> sheet, desk::ImportSettings settings,
                              base::Instant now) {
  const std::lock_guard lock(mutex_);
  drop_old(now);
  drafts_.push_back({.id = random_token(),
                     .person = person,
                     .file_name = std::move(file_name),
                     .sheet = std::move(sheet),
                     .settings = std::move(settings),
                     .until = now + rules_.lasts});
  const auto is_theirs = [&](const ImportDraft& draft) { return draft.person == person; };
  if (static_cast<std::size_t>(std::ranges::count_if(drafts_, is_theirs)) > rules_.most_each) {
    drafts_.erase(std::ranges::find_if(drafts_, is_theirs));
  }
  std::size_t bytes = 0;
  for (const ImportDraft& draft : drafts_) bytes += draft.sheet->bytes();
  while (bytes > rules_.most_bytes && drafts_.size() > 1) {
    bytes -= drafts_.front().sheet->bytes();
    drafts_.pop_front();
  }
  return drafts_.back().id;
}

ImportDraft ImportDrafts::find(std::string_view id, base::PersonId person, base::Instant now) {
  const std::lock_guard lock(mutex_);
  return kept(id, person, now);
}

void ImportDrafts::change(std::string_view id, base::PersonId person, desk::ImportSettings settings,
                          base::Instant now) {
  const std::lock_guard lock(mutex_);
  kept(id, person, now).settings = std::move(settings);
}

void ImportDrafts::drop(std::string_view id, base::PersonId person) {
  const std::lock_guard lock(mutex_);
  std::erase_if(drafts_, [&](const ImportDraft& draft) { return draft.id == id && draft.person == person; });
}

ImportDraft& ImportDrafts::kept(std::string_view id, base::PersonId person, base::Instant now) {
  drop_old(now);
  const auto at =
      std::ranges::find_if(drafts_, [&](const ImportDraft& draft) { return draft.id == id && draft.person == person; });
  if (at == drafts_.end()) throw desk::Missing("This file is not here any more. Choose the file again.");
  return *at;
}

void ImportDrafts::drop_old(base::Instant now) {
  std::erase_if(drafts_, [&](const ImportDraft& draft) { return draft.until <= now; });
}

}  // namespace throughcure::service
